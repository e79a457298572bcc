#include "solver/history/whole_h5.hpp"

#include <fmt/format.h>

#include <memory>
#include <system_error>

#include "solver/history/file_mark.hpp"
#include "solver/history/written_file.hpp"

namespace thawline::solver::history {

void write_whole_h5(const std::string& file, FileKind kind, int version,
                    const std::function<void(H5::H5File&)>& fill) {
  NewFile out(file, kind);
  const auto not_in_full = [&file] {
    return WriteError(
        fmt::format("{}: could not be written in full; make room and run this again", file));
  };
  try {
    H5::Exception::dontPrint();
    auto h5 = std::make_unique<NewH5>(out.path());
    try {
      write_unfinished_mark(out.descriptor(), kind, version);
      fill(h5->file());
      h5->close();
      write_mark(out.descriptor(), kind, version);
    } catch (...) {
      // HDF5 cannot let go of a file it cannot write; it stays open until the program ends.
      (void)h5.release();
      throw;
    }
  } catch (const H5::Exception&) {
    throw not_in_full();
  } catch (const std::system_error&) {
    throw not_in_full();
  }
  out.give_name();
}

}  // namespace thawline::solver::history

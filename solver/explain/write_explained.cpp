#include "solver/explain/write_explained.hpp"

#include <fmt/format.h>

#include <memory>
#include <system_error>

#include "solver/history/file_mark.hpp"
#include "solver/history/h5_file.hpp"
#include "solver/history/provenance.hpp"
#include "solver/history/written_file.hpp"

namespace thawline::solver::explain {

namespace h = solver::history;

namespace {

void write_all(H5::H5File& file, const Explained& e) {
  const auto from = h::provenance();
  H5::Group root = file.openGroup("/");
  h::write_integer(root, "explained_version", explained_version);
  h::write_text(root, "program", from.program);
  h::write_text(root, "program_version", from.version);
  h::write_text(root, "commit", from.commit);
  h::write_text(root, "first_title", e.first_title);
  h::write_text(root, "second_title", e.second_title);
  h::write_text(root, "first_file", e.question.first_file);
  h::write_text(root, "second_file", e.question.second_file);
  h::write_text(root, "limit", e.limit);
  h::write_text(root, "answer",
                e.question.answer == Answer::held    ? "held"
                : e.question.answer == Answer::worst ? "worst"
                                                     : "heat");
  h::write_text(root, "sentence", explained_sentence(e));
  h::write_integer(root, "exact", e.exact ? 1 : 0);
  const char* unit = unit_of(e.question.answer);
  const char* step = e.question.answer == Answer::worst ? "K" : unit;
  h::add_number(root, "from", e.from, {unit, "answer of the first case"});
  h::add_number(root, "to", e.to, {unit, "answer of the second case"});
  std::vector<std::string> names;
  std::vector<std::string> changes;
  std::vector<double> shares;
  std::vector<double> errors;
  for (const Part& part : e.parts) {
    names.push_back(part.group.name);
    changes.push_back(part.group.changes);
    shares.push_back(part.share);
    errors.push_back(part.error);
  }
  H5::Group groups = file.createGroup("groups");
  h::add_strings(groups, "name", names, {"1", "group of inputs in which the cases differ"});
  h::add_strings(groups, "changes", changes, {"1", "what differs"});
  h::add_doubles(groups, "share", shares, {step, "its part of the difference"});
  h::add_doubles(groups, "standard_error", errors, {step, "of the part; 0 when exact"});
  h::add_number(root, "orders", e.orders, {"1", "orders of groups counted"});
  h::add_number(root, "left_out", e.left_out, {"1", "orders left out"});
}

}  // namespace

void check_explained_name(const std::string& file) {
  h::refuse_foreign(file, h::FileKind::explained);
  h::refuse_foreign_beginning(file, h::FileKind::explained);
}

void write_explained(const std::string& file, const Explained& explained) {
  h::NewFile out(file, h::FileKind::explained);
  const auto not_in_full = [&file] {
    return h::WriteError(
        fmt::format("{}: could not be written in full; make room and run this again", file));
  };
  try {
    H5::Exception::dontPrint();
    auto h5 = std::make_unique<h::NewH5>(out.path());
    try {
      h::write_unfinished_mark(out.descriptor(), h::FileKind::explained, explained_version);
      write_all(h5->file(), explained);
      h5->close();
      h::write_mark(out.descriptor(), h::FileKind::explained, explained_version);
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

}  // namespace thawline::solver::explain

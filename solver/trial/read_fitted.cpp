#include "solver/trial/read_fitted.hpp"

#include <H5Cpp.h>
#include <fmt/format.h>

#include "cases/input_error.hpp"
#include "solver/history/file_mark.hpp"
#include "solver/trial/write_trial.hpp"

namespace thawline::solver::trial {

namespace {

std::vector<double> numbers(const H5::Group& group, const char* name) {
  const H5::DataSet dataset = group.openDataSet(name);
  std::vector<double> values(static_cast<std::size_t>(dataset.getSpace().getSimpleExtentNpoints()));
  dataset.read(values.data(), H5::PredType::NATIVE_DOUBLE);
  return values;
}

std::vector<char> marks(const H5::Group& group, const char* name) {
  std::vector<char> out;
  for (const double value : numbers(group, name)) out.push_back(value != 0 ? 1 : 0);
  return out;
}

/// Texts of fixed length, as they are written; "1" and " " stand for nothing.
std::vector<std::string> texts(const H5::Group& group, const char* name) {
  const H5::DataSet dataset = group.openDataSet(name);
  const H5::StrType type = dataset.getStrType();
  const std::size_t bytes = type.getSize();
  const auto count = static_cast<std::size_t>(dataset.getSpace().getSimpleExtentNpoints());
  std::string all(bytes * count, '\0');
  dataset.read(all.data(), type);
  std::vector<std::string> out;
  for (std::size_t i = 0; i < count; ++i) {
    const std::string text = all.substr(i * bytes, bytes);
    out.push_back(text.substr(0, text.find('\0')));
  }
  return out;
}

}  // namespace

cases::FittedValues read_fitted(const std::string& file) {
  history::check_whole(file, history::FileKind::trial, trial_version);
  cases::FittedValues out;
  try {
    H5::Exception::dontPrint();
    const H5::H5File h5(file, H5F_ACC_RDONLY);
    if (!h5.nameExists("fit")) {
      throw cases::InputError(
          fmt::format("{}: is an overlay; what a fit learnt is expected", file));
    }
    const H5::Group group = h5.openGroup("fit");
    out.names = texts(group, "names");
    out.paths = texts(group, "paths");
    out.units = texts(group, "units");
    for (auto& unit : out.units) {
      if (unit == "1") unit.clear();
    }
    out.shared = marks(group, "shared");
    out.logarithmic = marks(group, "natural");
    out.centre = numbers(group, "centre");
    out.from = numbers(group, "from");
    out.to = numbers(group, "to");
    const auto root = numbers(group, "root");
    const std::size_t n = out.names.size();
    for (std::size_t i = 0; i < n && root.size() == n * n; ++i) {
      out.root.emplace_back(root.begin() + static_cast<std::ptrdiff_t>(i * n),
                            root.begin() + static_cast<std::ptrdiff_t>((i + 1) * n));
    }
    for (const std::size_t size :
         {out.paths.size(), out.units.size(), out.shared.size(), out.logarithmic.size(),
          out.centre.size(), out.from.size(), out.to.size(), out.root.size()}) {
      if (size != n) throw cases::InputError(fmt::format("{}: its values are ragged", file));
    }
  } catch (const H5::Exception&) {
    throw cases::InputError(fmt::format("{}: lacks a part of a fit", file));
  }
  return out;
}

}  // namespace thawline::solver::trial

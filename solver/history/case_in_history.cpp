#include "solver/history/case_in_history.hpp"

#include <H5Cpp.h>
#include <fmt/format.h>

#include <filesystem>

#include "cases/input_error.hpp"
#include "cases/read_case.hpp"
#include "cases/read_trace.hpp"
#include "solver/history/file_mark.hpp"
#include "solver/history/history_contents.hpp"

namespace thawline::solver::history {

namespace {

/// The texts a case is read from.
struct CaseTexts {
  std::string text, file;
  std::string materials;
  std::string trace, trace_file;  ///< empty without a trace
};

std::string only_text(const H5::DataSet& dataset) {
  const H5::StrType type = dataset.getStrType();
  std::string text(type.getSize(), '\0');
  dataset.read(text.data(), type);
  return text.substr(0, text.find('\0'));
}

std::string text_attribute(const H5::DataSet& dataset, const std::string& name) {
  std::string text;
  const H5::Attribute attribute = dataset.openAttribute(name);
  attribute.read(attribute.getStrType(), text);
  return text;
}

CaseTexts texts_in(const std::string& file) {
  H5::Exception::dontPrint();
  try {
    const H5::H5File h5(file, H5F_ACC_RDONLY);
    CaseTexts texts;
    const H5::DataSet as_read = h5.openDataSet("case/text");
    texts.text = only_text(as_read);
    texts.file = text_attribute(as_read, "file");
    texts.materials = only_text(h5.openDataSet("case/materials"));
    if (h5.nameExists("case/trace")) {
      const H5::DataSet trace = h5.openDataSet("case/trace");
      texts.trace = only_text(trace);
      texts.trace_file = text_attribute(trace, "file");
    }
    return texts;
  } catch (const H5::Exception&) {
    throw cases::InputError(fmt::format("{}: holds no case that can be read", file));
  }
}

}  // namespace

bool looks_like_history(const std::string& file) {
  return read_mark(file).kind == FileKind::history;
}

cases::Case case_in_history(const std::string& file) {
  check_whole(file, FileKind::history, layout_version);
  const CaseTexts texts = texts_in(file);
  const cases::SourceText source{file + " (its case)", texts.text};
  cases::MaterialShelf shelf;
  if (!texts.materials.empty()) {
    cases::read_material_file({file + " (its materials)", texts.materials}, shelf);
  }
  cases::TraceShelf traces;
  if (!texts.trace_file.empty()) {
    const auto folder = std::filesystem::path(source.file).parent_path();
    traces[(folder / texts.trace_file).string()] =
        cases::open_logged_text({file + " (its trace)", texts.trace});
  }
  cases::Case c = cases::read_case_tree(cases::parse_yaml(source), shelf, traces);
  c.file = texts.file;
  return c;
}

}  // namespace thawline::solver::history

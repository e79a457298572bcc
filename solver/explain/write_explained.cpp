#include "solver/explain/write_explained.hpp"

#include "solver/history/h5_file.hpp"
#include "solver/history/provenance.hpp"
#include "solver/history/whole_h5.hpp"
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
  h::write_whole_h5(file, h::FileKind::explained, explained_version,
                    [&](H5::H5File& h5) { write_all(h5, explained); });
}

}  // namespace thawline::solver::explain

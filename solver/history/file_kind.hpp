#pragma once

#include <string>
#include <string_view>

namespace thawline::solver::history {

/// The files the program writes. Each is known by how it begins, so that nothing else is ever
/// written over.
enum class FileKind { history, table, csv, xdmf, journal, trial, fitted_case, explained };

/// How an XDMF file of ours begins.
inline constexpr std::string_view xdmf_head =
    "<?xml version=\"1.0\"?>\n<!-- written by Thawline -->\n";
/// How a case file that a fit writes begins.
inline constexpr std::string_view fitted_case_head = "# Fitted by Thawline";
/// How a journal of a batch begins; its version follows.
inline constexpr std::string_view journal_head = "thawline journal ";
/// The first and the last columns of every table of cases, by which its CSV is known.
inline constexpr std::string_view csv_first = "case,";
inline constexpr std::string_view csv_last = ",steps,newton_iterations,status,reason";

/// True when the regular file `file` begins as one of that kind does.
[[nodiscard]] bool is_ours(const std::string& file, FileKind kind);

/// Refuses a name that belongs to anything but a plain file: a link, a pipe, a device, a folder.
/// Throws WriteError with one sentence.
void refuse_special(const std::string& file);

/// Refuses a name that may not be written to: one that belongs to anything but a regular file of
/// this kind written by the program, such as a case, a picture, a link, a pipe or a device. Touches
/// nothing. Throws WriteError with one sentence.
void refuse_foreign(const std::string& file, FileKind kind);

}  // namespace thawline::solver::history

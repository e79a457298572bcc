#pragma once

#include <cstddef>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace thawline::cases {

/// What kind of mistake it is.
enum class Mistake {
  value,  ///< readable, but out of range or at odds with the rest
  form,   ///< not what is read here at all: another unit, a word where a number belongs
  key,    ///< an unknown key
};

/// A mistake in something the user wrote. `what()` is ready to print: "FILE:LINE:COLUMN: sentence",
/// then the line itself with a caret where there is one. `sentence()` is the sentence alone, with
/// the path of keys before it.
class InputError : public std::runtime_error {
 public:
  explicit InputError(const std::string& message)
      : std::runtime_error(message), sentence_(message) {}
  InputError(const std::string& message, std::string sentence, Mistake mistake)
      : std::runtime_error(message), sentence_(std::move(sentence)), mistake_(mistake) {}

  [[nodiscard]] const std::string& sentence() const { return sentence_; }
  [[nodiscard]] Mistake mistake() const { return mistake_; }

 private:
  std::string sentence_;
  Mistake mistake_ = Mistake::value;
};

/// Text of an input file, kept to show the line a mistake is on.
struct SourceText {
  std::string file;
  std::string text;

  /// Line `line` (from 1), without its end; empty when there is none. Cut after 160 characters.
  [[nodiscard]] std::string line(int line) const;
};

/// Throws InputError for a place in `source`; `line` and `column` from 1, 0 when unknown.
[[noreturn]] void fail_at(const SourceText& source, int line, int column,
                          const std::string& sentence, Mistake mistake = Mistake::value);

/// At most the first 60 characters of what the user wrote, to quote it in a message.
[[nodiscard]] std::string shortened(const std::string& text);

/// The text with a space for every character that could do more to a terminal than be shown:
/// controls (C0, DEL, C1) but line feeds, marks that turn the direction of writing, and bytes that
/// are no UTF-8.
[[nodiscard]] std::string without_controls(const std::string& text);

/// Where the first such character stands, line feeds and tabs included; npos without any.
[[nodiscard]] std::size_t first_control(const std::string& text);

/// Reads a whole text file. Throws InputError when it is missing, a folder, not permitted, larger
/// than `most_bytes`, empty, or not UTF-8 text.
[[nodiscard]] SourceText read_text_file(const std::string& file, std::size_t most_bytes);

/// The same of a file that another file names. Pipes and devices are refused, as no one may ever
/// write to them, or they may have no end.
[[nodiscard]] SourceText read_named_file(const std::string& file, std::size_t most_bytes);

/// The bytes of a regular file, whatever they are. Throws InputError when it is missing, a folder,
/// a pipe or a device, not permitted, or larger than `most_bytes`.
[[nodiscard]] std::string read_file_bytes(const std::string& file, std::size_t most_bytes);

/// The candidate with the smallest edit distance to `word` when near enough, else empty. Capitals,
/// and '-' or a space in place of '_', count for nothing.
[[nodiscard]] std::string nearest(const std::string& word,
                                  const std::vector<std::string>& candidates);

}  // namespace thawline::cases

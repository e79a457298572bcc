#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace thawline::cases {

/// One cell of a row, without the blanks and the quotation marks around it.
struct Cell {
  std::string_view text;
  std::size_t at = 0;    ///< byte of the text at which it begins
  bool doubled = false;  ///< holds doubled quotation marks
  enum class Quotes : char { none, whole, open, text_after } quotes = Quotes::none;
};

/// The words of a cell on one line, doubled quotation marks made single.
[[nodiscard]] std::string words_of(const Cell& cell);

/// Text without blanks, tabs and no-break spaces around it.
[[nodiscard]] std::string_view without_blanks(std::string_view text);

/// Goes through the rows of a table in a text with line feeds: cells between separators, quoted as
/// in RFC 4180, a quoted one over several lines if need be. Skips blank lines and lines that begin
/// with '#', unless that is a whole cell.
class RowCursor {
 public:
  RowCursor(std::string_view text, char separator, std::size_t from = 0)
      : text_(text), separator_(separator), at_(from) {}

  /// Reads the next row; false when there is none.
  bool next(std::vector<Cell>& cells);
  /// Byte at which the row read last begins, and one past its end.
  [[nodiscard]] std::size_t row_begin() const { return row_begin_; }
  [[nodiscard]] std::size_t row_end() const { return row_end_; }

 private:
  [[nodiscard]] bool is_comment(std::size_t first) const;
  bool quoted_cell(std::size_t first, Cell& cell);

  std::string_view text_;
  char separator_;
  std::size_t at_;
  std::size_t row_begin_ = 0;
  std::size_t row_end_ = 0;
};

}  // namespace thawline::cases

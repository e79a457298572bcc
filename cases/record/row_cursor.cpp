#include "cases/record/row_cursor.hpp"

#include <algorithm>

namespace thawline::cases {

namespace {

/// Longest quoted cell; a quotation mark that is not closed within it never is.
constexpr std::size_t longest_quoted = 4096;

bool is_blank(char c) { return c == ' ' || c == '\t'; }

}  // namespace

std::string_view without_blanks(std::string_view text) {
  constexpr std::string_view no_break = "\xC2\xA0";
  while (!text.empty()) {
    if (is_blank(text.front())) {
      text.remove_prefix(1);
    } else if (text.starts_with(no_break)) {
      text.remove_prefix(2);
    } else {
      break;
    }
  }
  while (!text.empty()) {
    if (is_blank(text.back())) {
      text.remove_suffix(1);
    } else if (text.ends_with(no_break)) {
      text.remove_suffix(2);
    } else {
      break;
    }
  }
  return text;
}

std::string words_of(const Cell& cell) {
  std::string words;
  for (std::size_t i = 0; i < cell.text.size(); ++i) {
    words += cell.text[i] == '\n' || cell.text[i] == '\t' ? ' ' : cell.text[i];
    if (cell.doubled && cell.text[i] == '"' && i + 1 < cell.text.size()) ++i;
  }
  return words;
}

bool RowCursor::is_comment(std::size_t first) const {
  if (text_[first] != '#') return false;
  ++first;
  while (first < text_.size() && text_[first] == ' ') ++first;
  return first >= text_.size() || text_[first] != separator_;
}

/// Reads a quoted cell whose mark is at `first` and leaves `at_` behind it; false when its mark is
/// never closed.
bool RowCursor::quoted_cell(std::size_t first, Cell& cell) {
  const std::size_t stop = std::min(text_.size(), first + longest_quoted);
  std::size_t end = first + 1;
  for (; end < stop; ++end) {
    if (text_[end] != '"') continue;
    if (end + 1 >= text_.size() || text_[end + 1] != '"') break;
    cell.doubled = true;
    ++end;
  }
  if (end >= stop) return false;
  cell.quotes = Cell::Quotes::whole;
  cell.text = text_.substr(first + 1, end - first - 1);
  at_ = end + 1;
  while (at_ < text_.size() && is_blank(text_[at_]) && text_[at_] != separator_) ++at_;
  if (at_ < text_.size() && text_[at_] != separator_ && text_[at_] != '\n') {
    cell.quotes = Cell::Quotes::text_after;
    cell.at = at_;
    while (at_ < text_.size() && text_[at_] != separator_ && text_[at_] != '\n') ++at_;
    return true;
  }
  const std::size_t before = cell.text.size();
  cell.text = without_blanks(cell.text);
  cell.at = before == cell.text.size() ? first + 1
                                       : static_cast<std::size_t>(cell.text.data() - text_.data());
  return true;
}

bool RowCursor::next(std::vector<Cell>& cells) {
  cells.clear();
  while (at_ < text_.size()) {
    std::size_t first = at_;
    while (first < text_.size() && is_blank(text_[first])) ++first;
    if (first < text_.size() && text_[first] != '\n' && !is_comment(first)) break;
    const std::size_t feed = text_.find('\n', first);
    at_ = feed == std::string_view::npos ? text_.size() : feed + 1;
  }
  if (at_ >= text_.size()) return false;
  row_begin_ = at_;
  while (true) {
    std::size_t first = at_;
    while (first < text_.size() && is_blank(text_[first]) && text_[first] != separator_) ++first;
    Cell cell;
    const bool marked = first < text_.size() && text_[first] == '"';
    if (!marked || !quoted_cell(first, cell)) {
      std::size_t end = first;
      while (end < text_.size() && text_[end] != separator_ && text_[end] != '\n') ++end;
      at_ = end;
      cell = Cell{text_.substr(first, end - first), first, false,
                  marked ? Cell::Quotes::open : Cell::Quotes::none};
      if (!cell.text.empty() && (is_blank(cell.text.back()) || cell.text.back() == '\xA0' ||
                                 cell.text.front() == '\xC2')) {
        cell.text = without_blanks(cell.text);
        cell.at = static_cast<std::size_t>(cell.text.data() - text_.data());
      }
    }
    cells.push_back(cell);
    if (at_ >= text_.size() || text_[at_] == '\n') break;
    ++at_;
  }
  row_end_ = at_;
  if (at_ < text_.size()) ++at_;
  return true;
}

}  // namespace thawline::cases

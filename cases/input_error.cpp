#include "cases/input_error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <numeric>
#include <sstream>

namespace thawline::cases {

std::string SourceText::line(int line) const {
  std::istringstream stream(text);
  std::string found;
  for (int i = 0; i < line; ++i) {
    if (!std::getline(stream, found)) return {};
  }
  if (!found.empty() && found.back() == '\r') found.pop_back();
  return found.size() > 160 ? found.substr(0, 160) : found;
}

std::string shortened(const std::string& text) {
  constexpr std::size_t most = 60;
  if (text.size() <= most) return text;
  std::size_t end = most;
  while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0) == 0x80) --end;
  return text.substr(0, end) + "...";
}

namespace {

unsigned byte_at(const std::string& text, std::size_t at) {
  return at < text.size() ? static_cast<unsigned char>(text[at]) : 0U;
}

/// Bytes of the UTF-8 character at `at`; 0 when there is none.
std::size_t length_of_character(const std::string& text, std::size_t at) {
  const unsigned lead = byte_at(text, at);
  std::size_t length = 0;
  if (lead < 0x80) {
    length = 1;
  } else if (lead >= 0xC2 && lead < 0xE0) {
    length = 2;
  } else if (lead >= 0xE0 && lead < 0xF0) {
    length = 3;
  } else if (lead >= 0xF0 && lead < 0xF5) {
    length = 4;
  }
  for (std::size_t k = 1; k < length; ++k) {
    if ((byte_at(text, at + k) & 0xC0U) != 0x80) return 0;
  }
  return length;
}

/// True for a whole character that could do more than be shown.
bool is_control(const std::string& text, std::size_t at) {
  const unsigned first = byte_at(text, at);
  const unsigned second = byte_at(text, at + 1);
  const unsigned third = byte_at(text, at + 2);
  if (first < 0x20 || first == 0x7F) return true;
  if (first == 0xC2) return second < 0xA0;  // C1
  if (first == 0xE2 && second == 0x80) {
    // U+200E, 200F: marks of direction; U+2028 to 202E: separators and turns of direction
    return third == 0x8E || third == 0x8F || (third >= 0xA8 && third <= 0xAE);
  }
  if (first == 0xE2 && second == 0x81) return third >= 0xA6 && third <= 0xA9;  // U+2066 to 2069
  // U+FFFE and U+FFFF are no characters, and XML has none such.
  return first == 0xEF && second == 0xBF && third >= 0xBE;
}

}  // namespace

std::string without_controls(const std::string& text) {
  std::string shown;
  for (std::size_t i = 0; i < text.size();) {
    const std::size_t bytes = length_of_character(text, i);
    const bool fine = bytes > 0 && (text[i] == '\n' || !is_control(text, i));
    shown += fine ? text.substr(i, bytes) : " ";
    i += std::max<std::size_t>(bytes, 1);
  }
  return shown;
}

std::size_t first_control(const std::string& text) {
  for (std::size_t i = 0; i < text.size();) {
    const std::size_t bytes = length_of_character(text, i);
    if (bytes == 0 || is_control(text, i)) return i;
    i += bytes;
  }
  return std::string::npos;
}

namespace {

/// A sentence stays on its line, too.
std::string on_one_line(std::string text) {
  std::replace(text.begin(), text.end(), '\n', ' ');
  return without_controls(text);
}

}  // namespace

void fail_at(const SourceText& source, int line, int column, const std::string& sentence,
             Mistake mistake) {
  const std::string told = on_one_line(sentence);
  if (line <= 0) throw InputError(fmt::format("{}: {}", source.file, told), told, mistake);
  std::string message = fmt::format("{}:{}:{}: {}", source.file, line, column, told);
  const std::string shown = without_controls(source.line(line));
  if (!shown.empty()) {
    message += fmt::format("\n  {}", shown);
    if (column > 0 && column <= static_cast<int>(shown.size()) + 1) {
      message += fmt::format("\n  {}^", std::string(static_cast<std::size_t>(column - 1), ' '));
    }
  }
  throw InputError(message, told, mistake);
}

namespace {

/// First byte that breaks UTF-8 or is a control character text does not hold; npos when none.
std::size_t first_bad_byte(const std::string& text) {
  for (std::size_t i = 0; i < text.size();) {
    const unsigned c = byte_at(text, i);
    if (c < 0x20 && c != '\n' && c != '\r' && c != '\t') return i;
    const std::size_t bytes = length_of_character(text, i);
    if (bytes == 0) return i;
    i += bytes;
  }
  return std::string::npos;
}

}  // namespace

namespace {

void refuse_pipe(const std::string& file) {
  namespace fs = std::filesystem;
  std::error_code error;
  const auto status = fs::status(file, error);
  if (fs::exists(status) && !fs::is_directory(status) && !fs::is_regular_file(status)) {
    throw InputError(fmt::format("{}: is a pipe or a device; a regular file is expected", file));
  }
}

std::string bytes_of(const std::string& file, std::size_t most_bytes) {
  namespace fs = std::filesystem;
  std::error_code error;
  const auto status = fs::status(file, error);
  if (!fs::exists(status)) throw InputError(fmt::format("{}: there is no such file", file));
  if (fs::is_directory(status)) {
    throw InputError(fmt::format("{}: is a folder; a file is expected", file));
  }
  std::string bytes;
  if (fs::is_regular_file(status)) {
    const auto size = fs::file_size(file, error);
    if (!error && size > most_bytes) {
      throw InputError(
          fmt::format("{}: holds {} bytes; at most {} are read", file, size, most_bytes));
    }
    if (!error) bytes.reserve(size);
  }
  errno = 0;
  std::ifstream stream(file, std::ios::binary);
  if (!stream) {
    throw InputError(fmt::format("{}: cannot be read ({})", file, std::strerror(errno)));
  }
  std::array<char, 16384> block;
  while (bytes.size() <= most_bytes && stream) {
    stream.read(block.data(), block.size());
    bytes.append(block.data(), static_cast<std::size_t>(stream.gcount()));
  }
  if (bytes.size() > most_bytes) {
    throw InputError(fmt::format("{}: is too large; at most {} bytes are read", file, most_bytes));
  }
  return bytes;
}

}  // namespace

std::string read_file_bytes(const std::string& file, std::size_t most_bytes) {
  refuse_pipe(file);
  return bytes_of(file, most_bytes);
}

SourceText read_named_file(const std::string& file, std::size_t most_bytes) {
  refuse_pipe(file);
  return read_text_file(file, most_bytes);
}

SourceText read_text_file(const std::string& file, std::size_t most_bytes) {
  SourceText source{file, bytes_of(file, most_bytes)};
  if (source.text.find_first_not_of(" \t\r\n") == std::string::npos) {
    throw InputError(fmt::format("{}:1:1: is empty", file));
  }
  const std::size_t bad = first_bad_byte(source.text);
  if (bad != std::string::npos) {
    const auto head = source.text.begin() + static_cast<std::ptrdiff_t>(bad);
    const auto line = 1 + std::count(source.text.begin(), head, '\n');
    const auto line_start = source.text.rfind('\n', bad);
    const auto column = line_start == std::string::npos ? bad + 1 : bad - line_start;
    throw InputError(fmt::format("{}:{}:{}: is not plain text in UTF-8", file, line, column));
  }
  return source;
}

namespace {

std::size_t edit_distance(const std::string& a, const std::string& b) {
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t above = row[j];
      const std::size_t change = diagonal + (a[i - 1] == b[j - 1] ? 0 : 1);
      row[j] = std::min({above + 1, row[j - 1] + 1, change});
      diagonal = above;
    }
  }
  return row.back();
}

/// In small letters, words joined by '_'.
std::string spelt_plainly(std::string word) {
  for (char& c : word) {
    if (c == ' ' || c == '-') c = '_';
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return word;
}

}  // namespace

std::string nearest(const std::string& word, const std::vector<std::string>& candidates) {
  if (word.size() > 64) return {};
  std::string best;
  std::size_t best_distance = word.size() / 3 + 2;
  const std::string plain = spelt_plainly(word);
  for (const auto& candidate : candidates) {
    const std::size_t distance = edit_distance(plain, spelt_plainly(candidate));
    if (distance < best_distance) {
      best_distance = distance;
      best = candidate;
    }
  }
  return best;
}

}  // namespace thawline::cases

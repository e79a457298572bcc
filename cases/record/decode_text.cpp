#include "cases/record/decode_text.hpp"

#include <fmt/format.h>
#include <iconv.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <string_view>
#include <utility>

namespace thawline::cases {

namespace {

unsigned byte_of(char c) { return static_cast<unsigned char>(c); }

class Converter {
 public:
  explicit Converter(const char* from) : handle_(iconv_open("UTF-8", from)) {}
  Converter(const Converter&) = delete;
  Converter& operator=(const Converter&) = delete;
  Converter(Converter&&) = delete;
  Converter& operator=(Converter&&) = delete;
  ~Converter() {
    if (known()) iconv_close(handle_);
  }

  [[nodiscard]] bool known() const { return handle_ != reinterpret_cast<iconv_t>(-1); }

  /// The text up to the first character that cannot be converted; `whole` says whether there is
  /// none.
  std::string convert(std::string& bytes, bool& whole) {
    std::string text;
    text.reserve(bytes.size());
    std::array<char, 65536> block;
    char* in = bytes.data();
    std::size_t left = bytes.size();
    whole = true;
    while (left > 0) {
      char* out = block.data();
      std::size_t room = block.size();
      const std::size_t rc = iconv(handle_, &in, &left, &out, &room);
      text.append(block.data(), block.size() - room);
      if (rc == static_cast<std::size_t>(-1) && errno != E2BIG) {
        whole = false;
        break;
      }
    }
    return text;
  }

 private:
  iconv_t handle_;
};

[[noreturn]] void refuse_byte(const std::string& file, const std::string& text, std::size_t at) {
  const FilePlace place = place_of(text, at);
  throw InputError(fmt::format("{}:{}:{}: is not plain text", file, place.line, place.column));
}

/// The encoding without a byte order mark that zeros betray; empty when none.
std::string utf16_by_zeros(std::string_view bytes) {
  const std::string_view head = bytes.substr(0, 4096);
  std::array<std::size_t, 2> zeros{};
  for (std::size_t i = 0; i < head.size(); ++i) {
    if (head[i] == '\0') ++zeros[i % 2];
  }
  if (head.size() < 4) return {};
  if (zeros[1] > head.size() / 4 && zeros[0] == 0) return "UTF-16 LE";
  if (zeros[0] > head.size() / 4 && zeros[1] == 0) return "UTF-16 BE";
  return {};
}

/// Length of the UTF-8 character of several bytes at `at`; 0 when there is none.
std::size_t long_character(std::string_view text, std::size_t at) {
  const unsigned lead = byte_of(text[at]);
  std::size_t length = 0;
  if (lead >= 0xC2 && lead < 0xE0) {
    length = 2;
  } else if (lead >= 0xE0 && lead < 0xF0) {
    length = 3;
  } else if (lead >= 0xF0 && lead < 0xF5) {
    length = 4;
  }
  if (length == 0 || at + length > text.size()) return 0;
  for (std::size_t k = 1; k < length; ++k) {
    if ((byte_of(text[at + k]) & 0xC0U) != 0x80) return 0;
  }
  return length;
}

struct Survey {
  bool ascii = true;
  bool utf8 = true;
  bool high_controls = false;  ///< bytes 0x80 to 0x9F, of which Latin-1 has no use
};

Survey survey(std::string_view bytes) {
  Survey found;
  for (std::size_t i = 0; i < bytes.size();) {
    if (byte_of(bytes[i]) < 0x80) {
      ++i;
      continue;
    }
    found.ascii = false;
    const std::size_t length = long_character(bytes, i);
    if (length == 0) found.utf8 = false;
    if (length == 0 && byte_of(bytes[i]) < 0xA0) found.high_controls = true;
    i += std::max<std::size_t>(length, 1);
  }
  return found;
}

std::string converted(const std::string& file, std::string bytes, const char* from) {
  Converter converter(from);
  if (!converter.known()) {
    throw InputError(fmt::format("{}: the C library does not convert {} here", file, from));
  }
  bool whole = true;
  std::string text = converter.convert(bytes, whole);
  if (!whole) refuse_byte(file, text, text.size());
  return text;
}

/// Line feeds for all line ends; gives the kind that is most frequent.
std::string make_line_feeds(std::string& text) {
  std::size_t pairs = 0;
  std::size_t returns = 0;
  const auto feeds = static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
  std::size_t to = text.find('\r');
  if (to == std::string::npos) return "LF";
  for (std::size_t from = to; from < text.size(); ++from) {
    char c = text[from];
    if (c == '\r') {
      const bool pair = from + 1 < text.size() && text[from + 1] == '\n';
      ++(pair ? pairs : returns);
      if (pair) ++from;
      c = '\n';
    }
    text[to++] = c;
  }
  text.resize(to);
  if (returns > feeds) return "CR";
  return 2 * pairs >= feeds ? "CRLF" : "LF";
}

void refuse_controls(const std::string& file, const std::string& text) {
  const auto bad = std::find_if(text.begin(), text.end(), [](char c) {
    return (byte_of(c) < 0x20 && c != '\n' && c != '\t') || c == '\x7F';
  });
  if (bad != text.end()) {
    refuse_byte(file, text, static_cast<std::size_t>(bad - text.begin()));
  }
}

}  // namespace

FilePlace place_of(const std::string& text, std::size_t at) {
  at = std::min(at, text.size());
  FilePlace place;
  std::size_t line_start = 0;
  for (std::size_t i = 0; i < at; ++i) {
    if (text[i] != '\n') continue;
    ++place.line;
    line_start = i + 1;
  }
  for (std::size_t i = line_start; i < at; ++i) {
    if ((byte_of(text[i]) & 0xC0U) != 0x80) ++place.column;
  }
  return place;
}

DecodedText decode_text(const std::string& file, std::string bytes) {
  DecodedText out;
  std::string text;
  if (bytes.starts_with("\xEF\xBB\xBF")) {
    out.byte_order_mark = true;
    bytes.erase(0, 3);
  } else if (bytes.starts_with("\xFF\xFE") || bytes.starts_with("\xFE\xFF")) {
    out.byte_order_mark = true;
    out.encoding = bytes[0] == '\xFF' ? "UTF-16 LE" : "UTF-16 BE";
    bytes.erase(0, 2);
  } else {
    out.encoding = utf16_by_zeros(bytes);
  }
  if (!out.encoding.empty()) {
    text = converted(file, std::move(bytes), out.encoding == "UTF-16 LE" ? "UTF-16LE" : "UTF-16BE");
  } else {
    const Survey found = survey(bytes);
    if (found.utf8 || out.byte_order_mark) {
      out.encoding = found.ascii && !out.byte_order_mark ? "ASCII" : "UTF-8";
      text = std::move(bytes);
      if (!found.utf8) {
        for (std::size_t i = 0; i < text.size(); ++i) {
          if (byte_of(text[i]) < 0x80) continue;
          const std::size_t length = long_character(text, i);
          if (length == 0) refuse_byte(file, text, i);
          i += length - 1;
        }
      }
    } else {
      out.encoding = found.high_controls ? "Windows-1252" : "Latin-1";
      text = converted(file, std::move(bytes), "WINDOWS-1252");
    }
  }
  // The sign that ended a text on old systems.
  if (text.ends_with('\x1A')) text.pop_back();
  out.line_end = make_line_feeds(text);
  if (text.find_first_not_of(" \t\n") == std::string::npos) {
    throw InputError(fmt::format("{}:1:1: is empty", file));
  }
  refuse_controls(file, text);
  out.source = std::make_shared<const SourceText>(SourceText{file, std::move(text)});
  return out;
}

DecodedText read_encoded_file(const std::string& file, std::size_t most_bytes) {
  return decode_text(file, read_file_bytes(file, most_bytes));
}

}  // namespace thawline::cases

#pragma once

#include <cstddef>
#include <memory>
#include <string>

#include "cases/input_error.hpp"

namespace thawline::cases {

/// A text file in UTF-8 with every line end (LF, CRLF, CR) made a line feed, and how it was
/// written.
struct DecodedText {
  std::shared_ptr<const SourceText> source;
  std::string encoding;  ///< "ASCII", "UTF-8", "UTF-16 LE", "UTF-16 BE", "Latin-1", "Windows-1252"
  bool byte_order_mark = false;
  std::string line_end;  ///< "LF", "CRLF", "CR"
};

/// From the bytes of a file; `file` serves messages. A byte order mark decides; without one zeros
/// at every other byte tell UTF-16, and what is no UTF-8 is taken for Windows-1252, of which
/// Latin-1 is a part. Throws InputError when it is empty or not text.
[[nodiscard]] DecodedText decode_text(const std::string& file, std::string bytes);

/// Reads and decodes a regular file of at most `most_bytes`. Throws InputError as read_text_file.
[[nodiscard]] DecodedText read_encoded_file(const std::string& file, std::size_t most_bytes);

/// Line and column (in characters), from 1, of byte `at` of a UTF-8 text.
struct FilePlace {
  int line = 1;
  int column = 1;
};
[[nodiscard]] FilePlace place_of(const std::string& text, std::size_t at);

}  // namespace thawline::cases

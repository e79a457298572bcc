#include "cases/record/channel_unit.hpp"

#include <algorithm>
#include <cmath>
#include <initializer_list>

#include "cases/record/row_cursor.hpp"
#include "cases/units.hpp"

namespace thawline::cases {

namespace {

constexpr std::size_t longest_unit = 40;

/// In small letters without blanks and points.
std::string squeezed(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == ' ' || c == '.') continue;
    out += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  }
  return out;
}

bool among(const std::string& word, std::initializer_list<const char*> words) {
  return std::any_of(words.begin(), words.end(), [&word](const char* w) { return word == w; });
}

std::optional<ChannelUnit> scaled(std::string_view written, Measured measured, const char* from,
                                  const char* to) {
  const auto zero = convert(0, from, to);
  const auto one = convert(1, from, to);
  if (!zero || !one) return std::nullopt;
  return ChannelUnit{measured, std::string(written), *zero, *one};
}

std::optional<ChannelUnit> usual_unit(std::string_view text) {
  const std::string word = squeezed(text);
  // The degree sign, the ordinal mark often typed for it, and a degree sign decoded twice.
  if (among(word, {"°c", "ºc", "℃", "â°c", "degc", "c", "celsius", "degcelsius", "degreec",
                   "degreesc", "degreescelsius", "gradc", "deg_c"})) {
    return scaled(text, Measured::temperature, "degC", "K");
  }
  if (among(word, {"°f", "ºf", "℉", "â°f", "degf", "f", "fahrenheit", "degfahrenheit", "degreef",
                   "degreesf", "degreesfahrenheit", "deg_f"})) {
    return scaled(text, Measured::temperature, "degF", "K");
  }
  if (among(word, {"k", "kelvin"})) return scaled(text, Measured::temperature, "K", "K");
  if (among(word, {"%rh", "rh%", "%rf", "%rel", "%hr"})) {
    return ChannelUnit{Measured::humidity, std::string(text), 0, 0.01};
  }
  if (among(word, {"s", "sec", "secs", "second", "seconds", "sek"})) {
    return ChannelUnit{Measured::time, std::string(text), 0, 1};
  }
  if (among(word, {"min", "mins", "minute", "minutes", "minuten"})) {
    return ChannelUnit{Measured::time, std::string(text), 0, 60};
  }
  if (among(word, {"h", "hr", "hrs", "hour", "hours", "std", "stunden"})) {
    return ChannelUnit{Measured::time, std::string(text), 0, 3600};
  }
  if (among(word, {"day", "days"})) return ChannelUnit{Measured::time, std::string(text), 0, 86400};
  if (among(word, {"hh:mm:ss", "h:mm:ss", "hh:mm", "h:mm", "hhh:mm:ss"})) {
    return ChannelUnit{Measured::clock, std::string(text), 0, 1};
  }
  if (among(word, {"v", "mv", "w", "pa", "hpa", "mbar", "ppm", "%", "lx", "lux"})) {
    return ChannelUnit{Measured::other, std::string(text), 0, 1};
  }
  return std::nullopt;
}

bool is_letter_of_scale(std::string_view word) {
  return word == "C" || word == "F" || word == "K" || word == "c" || word == "f" || word == "k";
}

bool names_temperature(std::string_view stem) {
  const std::string word = squeezed(stem);
  return word.ends_with("temp") || word.ends_with("temperature") || word == "t";
}

/// Whether a unit may stand behind a name without brackets: "lowest min" is no time, "probe V" no
/// voltage.
bool goes_without_brackets(std::string_view stem, const ChannelUnit& unit) {
  if (unit.measured == Measured::time || unit.measured == Measured::clock) return names_time(stem);
  return unit.measured != Measured::other || unit.written == "%" || unit.written.size() > 1;
}

/// The last known unit in brackets, and the name without it.
bool take_bracketed(const std::string& text, HeaderWords& out) {
  for (std::size_t open = text.size(); open-- > 0;) {
    const bool square = text[open] == '[';
    if (!square && text[open] != '(' && text[open] != '{') continue;
    const char closing = square ? ']' : text[open] == '(' ? ')' : '}';
    const std::size_t close = text.find(closing, open);
    if (close == std::string::npos) continue;
    const std::string_view inside =
        without_blanks(std::string_view(text).substr(open + 1, close - open - 1));
    const auto unit = known_unit(inside, square ? UnitPlace::alone : UnitPlace::free);
    if (square && !unit) out.strange = inside;
    if (!unit) continue;
    out.unit = unit;
    out.strange.clear();
    const std::string_view before = without_blanks(std::string_view(text).substr(0, open));
    const std::string_view after = without_blanks(std::string_view(text).substr(close + 1));
    out.name = before;
    if (!before.empty() && !after.empty()) out.name += ' ';
    out.name += after;
    return true;
  }
  return false;
}

/// Behind a comma: `Temp, °C (inside)`, `Temp, °C`.
bool take_after_comma(const std::string& text, HeaderWords& out) {
  const std::size_t comma = text.rfind(',');
  if (comma == std::string::npos) return false;
  const std::string_view rest = without_blanks(std::string_view(text).substr(comma + 1));
  const std::size_t end = std::min(rest.find_first_of(" ("), rest.size());
  const auto unit = known_unit(rest.substr(0, end), UnitPlace::free);
  const std::string_view before = without_blanks(std::string_view(text).substr(0, comma));
  if (!unit || !goes_without_brackets(before, *unit)) return false;
  out.unit = unit;
  out.name = before;
  const std::string_view after = without_blanks(rest.substr(end));
  if (!after.empty()) out.name += " " + std::string(after);
  return true;
}

/// The words from the last or last but one mark on: `box_degC`, `box deg C`.
bool take_last_word(const std::string& text, bool letters_are_names, HeaderWords& out) {
  constexpr const char* marks = " _/";
  const std::size_t last = text.find_last_of(marks);
  if (last == std::string::npos || last == 0 || last + 1 == text.size()) return false;
  const std::size_t before = text.find_last_of(marks, last - 1);
  for (const std::size_t mark : {before, last}) {
    if (mark == std::string::npos || mark == 0) continue;
    const std::string_view stem = without_blanks(std::string_view(text).substr(0, mark));
    const std::string_view word = std::string_view(text).substr(mark + 1);
    if (is_letter_of_scale(word) && (letters_are_names || !names_temperature(stem))) continue;
    const auto unit = known_unit(word, UnitPlace::free);
    if (!unit || !goes_without_brackets(stem, *unit)) continue;
    out.unit = unit;
    out.name = stem;
    return true;
  }
  return false;
}

}  // namespace

bool names_time(std::string_view name) {
  const std::string word = squeezed(name);
  if (word == "t") return true;
  const std::initializer_list<const char*> beginnings{
      "time",  "date",    "elapsed",  "clock", "timestamp", "duration", "runtime", "zeit",
      "datum", "uhrzeit", "laufzeit", "heure", "fecha",     "hora",     "tijd"};
  return std::any_of(beginnings.begin(), beginnings.end(),
                     [&word](const char* beginning) { return word.starts_with(beginning); });
}

std::optional<ChannelUnit> known_unit(std::string_view text, UnitPlace place) {
  if (text.empty() || text.size() > longest_unit) return std::nullopt;
  if (auto unit = usual_unit(text)) return unit;
  if (place == UnitPlace::free) return std::nullopt;
  const std::string word(text);
  if (auto unit = scaled(text, Measured::temperature, word.c_str(), "K")) return unit;
  if (auto unit = scaled(text, Measured::time, word.c_str(), "s")) return unit;
  const bool number = text.find_first_not_of("0123456789.,+- ") == std::string_view::npos;
  if (number || !convert(1, word, word)) return std::nullopt;
  return ChannelUnit{Measured::other, word, 0, 1};
}

HeaderWords header_words(const std::string& text, bool letters_are_names) {
  HeaderWords out;
  if (take_bracketed(text, out) || take_after_comma(text, out) ||
      take_last_word(text, letters_are_names, out)) {
    return out;
  }
  out.name = without_blanks(text);
  // A header that is nothing but a unit, as in `°C`.
  if (!is_letter_of_scale(out.name)) {
    const auto unit = known_unit(out.name, UnitPlace::free);
    if (unit && (unit->measured == Measured::temperature || unit->measured == Measured::humidity)) {
      out.unit = unit;
      out.name.clear();
    }
  }
  return out;
}

}  // namespace thawline::cases

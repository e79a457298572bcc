#include "solver/batch/found_answers.hpp"

#include <fmt/format.h>

namespace thawline::solver::batch {

namespace {

double hours(const Look& look) { return look.failed() ? blank : look.held / 3600; }

std::string value_text(const cases::Sought& sought, const Look& look) {
  return fmt::format("{:.6g}{}{}", look.value, sought.unit.empty() ? "" : " ", sought.unit);
}

std::string held_text(const Look& look) {
  if (look.failed()) return "cannot be computed (" + look.failure + ")";
  if (!look.within) return "is never met";
  return fmt::format("holds {}{:.2f} h", look.beyond ? "more than " : "", look.held / 3600);
}

std::string ends_text(const cases::Sought& sought, const Found& found) {
  return fmt::format("at {} it {}, at {} it {}", value_text(sought, found.from),
                     held_text(found.from), value_text(sought, found.to), held_text(found.to));
}

std::string short_text(const cases::Sought& sought, const Found& found) {
  std::string text = fmt::format("no value was found in the range that makes it hold {:.6g} h: {}",
                                 sought.hold / 3600, ends_text(sought, found));
  const bool at_end = found.at.value == found.from.value || found.at.value == found.to.value;
  if (!at_end) {
    text +=
        fmt::format(", at best, at {}, it {}", value_text(sought, found.at), held_text(found.at));
  }
  if (found.edge.failed()) {
    text +=
        fmt::format("; past {} cases fail: {}", value_text(sought, found.edge), found.edge.failure);
  }
  return text;
}

}  // namespace

std::vector<Column> found_columns(const cases::Sought& sought) {
  const std::string units = sought.unit.empty() ? "1" : sought.unit;
  const std::string& name = sought.name;
  return {
      {"find/ending",
       "1",
       "how the search ended",
       Kind::word,
       {"found", "jump", "too_short", "too_long", "failed"}},
      {"find/value", units, name + ": the value", Kind::number, {}},
      {"find/held", "h", "hold time there, cut at the end of the run", Kind::number, {}},
      {"find/beside", units, name + ": a value beside it that does not hold", Kind::number, {}},
      {"find/held_beside", "h", "hold time there, cut at the end of the run", Kind::number, {}},
      {"find/held_at_from", "h", "the same at one end of the range", Kind::number, {}},
      {"find/held_at_to", "h", "the same at the other end", Kind::number, {}},
      {"find/duration", "h", "duration of the run at the value", Kind::number, {}},
      {"find/crossings", "1", "how often the wanted hold time was passed", Kind::whole, {}},
      {"find/looks", "1", "runs it took", Kind::whole, {}},
  };
}

std::vector<double> found_numbers(const Found& found, double duration) {
  const bool any = found.ending != Ending::failed;
  const bool bracketed = found.ending == Ending::found || found.ending == Ending::jump;
  return {static_cast<double>(found.ending),
          any ? found.at.value : blank,
          any ? hours(found.at) : blank,
          bracketed ? found.beside.value : blank,
          bracketed ? hours(found.beside) : blank,
          hours(found.from),
          hours(found.to),
          any ? duration / 3600 : blank,
          static_cast<double>(found.crossings),
          static_cast<double>(found.looks)};
}

std::string found_sentence(const cases::Sought& sought, const Found& found,
                           const std::string& because) {
  std::string text;
  if (found.ending == Ending::failed) return found.at.failure;
  if (found.ending == Ending::jump) {
    text = fmt::format("the hold time jumps: at {} it {}, at {} it {}",
                       value_text(sought, found.beside), held_text(found.beside),
                       value_text(sought, found.at), held_text(found.at));
  } else if (found.ending == Ending::too_short) {
    text = short_text(sought, found);
    if (!because.empty()) text += "; " + because;
  } else if (found.ending == Ending::too_long) {
    text = fmt::format("every value looked at in the range makes it hold longer than {:.6g} h: {}",
                       sought.hold / 3600, ends_text(sought, found));
  }
  if (found.crossings > 1) {
    text += fmt::format(
        "{}the hold time passes the wanted one {} times in the range; this is the place nearest "
        "to 'from'",
        text.empty() ? "" : "; ", found.crossings);
  }
  return text;
}

}  // namespace thawline::solver::batch

#pragma once

#include <string>

#include "cases/record/record.hpp"

namespace thawline::program {

/// A channel over time in plain characters, 64 columns wide and 8 lines high, each line indented by
/// four blanks: `o` at the mean of the readings of a column, `:` over the rest of their span, blank
/// where there are none. Values stand at the left in the file's unit, hours under it. Empty for a
/// channel with fewer than two readings.
[[nodiscard]] std::string channel_picture(const cases::Record& record,
                                          const cases::Channel& channel);

}  // namespace thawline::program

#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "solver/batch/read_table.hpp"

namespace thawline::program {

/// What a table says of one limit of one case.
struct HoldCell {
  double outcome = solver::batch::blank;      ///< index of the word; blank where the case failed
  double held = 0;                            ///< h
  double least = 0, most = 0;                 ///< h, by a limit moved by a logger's error
  double frozen_left = solver::batch::blank;  ///< share
  std::string ended_by;  ///< its word and, of what was out of reach, the resistance
  double coldest = solver::batch::blank;  ///< degC, of all payloads
  std::string coldest_payload;
  std::string freezing;  ///< payloads that begin to freeze
  std::string reason;    ///< why it failed
};

[[nodiscard]] HoldCell hold_cell(const solver::batch::TableHead& head,
                                 const solver::batch::Row& row, const std::string& limit);

/// Whether a logger's error is worth more than a tenth of the hold time.
[[nodiscard]] bool is_flat(const HoldCell& cell);

/// True where `a` holds longer than `b`: what outlasted its run longer than what ended, what failed
/// less long than anything.
[[nodiscard]] bool holds_longer(const HoldCell& a, const HoldCell& b);

/// "12.3 h", "12.3 h (8.0 to 18.0)", "> 48.0 h", "never within", "failed".
[[nodiscard]] std::string hold_text(const HoldCell& cell);

/// "76 % frozen left", and such.
[[nodiscard]] std::string frozen_text(const HoldCell& cell);

/// "0.2 degC", with what freezes.
[[nodiscard]] std::string coldest_text(const HoldCell& cell);

}  // namespace thawline::program

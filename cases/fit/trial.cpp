#include "cases/fit/trial.hpp"

namespace thawline::cases {

Setting setting_of(const FreeValue& free, double number) {
  if (!free.table.empty()) return {free.path, scaled(free.table, number)};
  return {free.path, {written(number, free.unit), false}};
}

}  // namespace thawline::cases

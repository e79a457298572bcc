#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace thawline::solver::batch {

/// Joins the tables of all parts of a plan into one, the same as a single run leaves. Gives the
/// number of cases. Throws InputError for damaged parts, parts of different plans, missing or
/// doubled ones; WriteError, also when `to` is there already.
std::uint64_t merge_tables(const std::vector<std::string>& files, const std::string& to);

}  // namespace thawline::solver::batch

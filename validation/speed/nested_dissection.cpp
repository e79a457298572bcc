#include "speed/nested_dissection.hpp"

#include <cholmod.h>

#include <vector>

namespace thawline::validation {

SuiteSparse_long nested_dissection(SuiteSparse_long size, SuiteSparse_long* start,
                                   SuiteSparse_long* rows, SuiteSparse_long* order, klu_l_common*) {
  cholmod_common common;
  cholmod_l_start(&common);
  const auto n = static_cast<std::size_t>(size);
  cholmod_sparse pattern{};
  pattern.nrow = n;
  pattern.ncol = n;
  pattern.nzmax = static_cast<std::size_t>(start[size]);
  pattern.p = start;
  pattern.i = rows;
  pattern.stype = -1;  // symmetric: what lies above the diagonal is passed over
  pattern.itype = CHOLMOD_LONG;
  pattern.xtype = CHOLMOD_PATTERN;
  pattern.dtype = CHOLMOD_DOUBLE;
  pattern.packed = 1;
  std::vector<SuiteSparse_long> parent(n);
  std::vector<SuiteSparse_long> member(n);
  const SuiteSparse_long parts = cholmod_l_nested_dissection(&pattern, nullptr, 0, order,
                                                             parent.data(), member.data(), &common);
  cholmod_l_finish(&common);
  return parts > 0 ? start[size] : 0;
}

}  // namespace thawline::validation

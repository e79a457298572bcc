#pragma once

#include <klu.h>

namespace thawline::validation {

/// Orders a matrix of symmetric pattern for KLU by CHOLMOD's nested dissection, which leaves a grid
/// less fill than AMD does. Returns 0 when it fails, as KLU asks.
SuiteSparse_long nested_dissection(SuiteSparse_long size, SuiteSparse_long* start,
                                   SuiteSparse_long* rows, SuiteSparse_long* order, klu_l_common*);

}  // namespace thawline::validation

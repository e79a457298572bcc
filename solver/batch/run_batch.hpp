#pragma once

#include <cstdint>
#include <functional>
#include <string>

#include "cases/read_plan.hpp"
#include "solver/batch/fingerprint.hpp"

namespace thawline::solver::batch {

struct BatchOptions {
  std::string table;  ///< HDF5 file to be written
  int threads = 1;
  unsigned part = 1, parts = 1;  ///< only the cases part, part + parts, ...
  bool afresh = false;           ///< what is there already counts for nothing
};

/// How far a batch is.
struct BatchState {
  std::uint64_t cases = 0;  ///< of this run
  std::uint64_t kept = 0;   ///< found in the journal of an earlier run
  std::uint64_t computed = 0;
  std::uint64_t failed = 0;   ///< kept or computed
  bool whole_before = false;  ///< the table was there already; nothing was done
};

/// Told after every case, one at a time.
using BatchWatcher = std::function<void(const BatchState&)>;

/// Computes all cases of a plan that are not in the journal (`table` + ".part") yet, one a thread,
/// and writes the table. The table is the same to the bit for any number of threads and however
/// often the run was cut off. Throws InputError when the journal or the table is of other inputs or
/// in use, WriteError when something cannot be written; the journal is kept then.
BatchState run_batch(const cases::ReadPlan& read, const Fingerprint& inputs,
                     const BatchOptions& options, const BatchWatcher& watcher);

}  // namespace thawline::solver::batch

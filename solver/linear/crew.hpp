#pragma once

namespace thawline::solver {

/// How many threads loops use while this lives. Threads that wait for one another on a machine busy
/// with other work lose far more than they gain, so now and then a few empty loops are timed; while
/// they take too long, all is done by one thread. Results do not depend on it.
class Crew {
 public:
  Crew();
  ~Crew();
  Crew(const Crew&) = delete;
  Crew& operator=(const Crew&) = delete;
  Crew(Crew&&) = delete;
  Crew& operator=(Crew&&) = delete;

  /// To be called between pieces of work of some milliseconds.
  void consider();

 private:
  int most_;      ///< threads, as found
  int rest_ = 0;  ///< calls until the next trial
};

}  // namespace thawline::solver

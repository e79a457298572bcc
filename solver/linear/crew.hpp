#pragma once

namespace thawline::solver {

/// Runs `act(data, chunk)` once for each chunk in [0, chunks), on the calling thread and on
/// helpers, `threads` in all at most, and returns when all have been done.
///
/// Chunks are claimed one by one, and a helper that the machine does not run claims none: the
/// caller then does the work alone, as fast as one thread would. (A loop of OpenMP waits for every
/// thread of its team at its end. On a machine whose cores are busy with other work each such wait
/// can last a time slice of some milliseconds.) Helpers sleep between loops that are far apart.
///
/// Which thread does a chunk is not determined: chunks must write only what is their own. A call
/// while another thread is in one runs on the calling thread alone, and so does a call from within
/// a chunk. `act` must not throw.
void run_chunks(int chunks, int threads, void (*act)(const void* data, int chunk),
                const void* data);

}  // namespace thawline::solver

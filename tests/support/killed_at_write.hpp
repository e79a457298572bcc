#pragma once

#include <sys/ptrace.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <functional>
#include <set>
#include <stdexcept>

namespace thawline::test {

/// Runs `work` in a process of its own and kills it (SIGKILL) just before its `count`-th system
/// call that may change a file. False when it made fewer and came to its end.
inline bool killed_before_write(int count, const std::function<void()>& work) {
  static const std::set<long> changing{
      SYS_write,     SYS_pwrite64, SYS_writev,    SYS_pwritev,  SYS_ftruncate,
      SYS_fallocate, SYS_renameat, SYS_renameat2, SYS_unlinkat, SYS_openat,
#ifdef SYS_rename
      SYS_rename,    SYS_unlink,   SYS_open,
#endif
  };
  const pid_t child = fork();
  if (child < 0) throw std::runtime_error("no process could be made");
  if (child == 0) {
    if (ptrace(PTRACE_TRACEME, 0, nullptr, nullptr) != 0) _exit(3);
    (void)raise(SIGSTOP);
    work();
    _exit(0);
  }
  int status = 0;
  waitpid(child, &status, 0);
  if (!WIFSTOPPED(status)) throw std::runtime_error("the process cannot be traced");
  ptrace(PTRACE_SETOPTIONS, child, nullptr, PTRACE_O_TRACESYSGOOD | PTRACE_O_EXITKILL);
  int seen = 0;
  while (true) {
    ptrace(PTRACE_SYSCALL, child, nullptr, nullptr);
    waitpid(child, &status, 0);
    if (WIFEXITED(status)) {
      if (WEXITSTATUS(status) != 0) throw std::runtime_error("the work failed");
      return false;
    }
    if (WIFSIGNALED(status)) throw std::runtime_error("the work was ended by a signal");
    if (WSTOPSIG(status) != (SIGTRAP | 0x80)) continue;
    __ptrace_syscall_info call{};
    ptrace(PTRACE_GET_SYSCALL_INFO, child, sizeof call, &call);
    if (call.op != PTRACE_SYSCALL_INFO_ENTRY ||
        !changing.contains(static_cast<long>(call.entry.nr)))
      continue;
    if (++seen < count) continue;
    kill(child, SIGKILL);
    waitpid(child, &status, 0);
    return true;
  }
}

}  // namespace thawline::test

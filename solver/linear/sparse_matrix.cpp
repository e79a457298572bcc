#include "solver/linear/sparse_matrix.hpp"

#include <algorithm>
#include <array>

#include "solver/linear/threads.hpp"

namespace thawline::solver {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

}  // namespace

SparseMatrix pattern_of(int rows, const std::vector<std::pair<int, int>>& pairs) {
  SparseMatrix a;
  a.diagonal.assign(at(rows), 0);
  std::vector<int> count(at(rows) + 1, 0);
  const auto counts = [](const std::pair<int, int>& p) {
    return p.first >= 0 && p.second >= 0 && p.first != p.second;
  };
  for (const auto& pair : pairs) {
    if (!counts(pair)) continue;
    ++count[at(pair.first) + 1];
    ++count[at(pair.second) + 1];
  }
  for (std::size_t i = 1; i < count.size(); ++i) count[i] += count[i - 1];
  std::vector<int> all(at(count.back()));
  std::vector<int> next(count.begin(), count.end() - 1);
  for (const auto& pair : pairs) {
    if (!counts(pair)) continue;
    all[at(next[at(pair.first)]++)] = pair.second;
    all[at(next[at(pair.second)]++)] = pair.first;
  }
  a.start.reserve(at(rows) + 1);
  a.start.push_back(0);
  for (int i = 0; i < rows; ++i) {
    const auto first = all.begin() + count[at(i)];
    const auto last = all.begin() + count[at(i) + 1];
    std::sort(first, last);
    a.column.insert(a.column.end(), first, std::unique(first, last));
    a.start.push_back(static_cast<int>(a.column.size()));
  }
  a.value.assign(a.column.size(), 0);
  return a;
}

int position_of(const SparseMatrix& a, int row, int column) {
  const auto first = a.column.begin() + a.start[at(row)];
  const auto last = a.column.begin() + a.start[at(row) + 1];
  return static_cast<int>(std::lower_bound(first, last, column) - a.column.begin());
}

void multiply(const SparseMatrix& a, const std::vector<double>& x, std::vector<double>& y) {
  const int n = a.rows();
  for_all(n, [&](int i) {
    double sum = a.diagonal[at(i)] * x[at(i)];
    for (int p = a.start[at(i)]; p < a.start[at(i) + 1]; ++p) {
      sum += a.value[at(p)] * x[at(a.column[at(p)])];
    }
    y[at(i)] = sum;
  });
}

double dot(const std::vector<double>& x, const std::vector<double>& y) {
  constexpr int most_blocks = 512;
  const int n = static_cast<int>(x.size());
  const int block = std::max(2048, (n + most_blocks - 1) / most_blocks);
  const int blocks = (n + block - 1) / block;
  std::array<double, most_blocks> sums{};
  const auto sum_block = [&](int b) {
    double sum = 0;
    const int end = std::min(n, (b + 1) * block);
    for (int i = b * block; i < end; ++i) sum += x[at(i)] * y[at(i)];
    sums[at(b)] = sum;
  };
  if (n < threads_from || omp_get_max_threads() == 1) {
    for (int b = 0; b < blocks; ++b) sum_block(b);
  } else {
#pragma omp parallel for schedule(static)
    for (int b = 0; b < blocks; ++b) sum_block(b);
  }
  double all = 0;
  for (int b = 0; b < blocks; ++b) all += sums[at(b)];
  return all;
}

}  // namespace thawline::solver

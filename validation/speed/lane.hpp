#pragma once

/// Values of several cases side by side, worked on by one instruction for every `width` of them.
namespace thawline::validation {

template <int width>
struct RegisterOf {
  using Type [[gnu::vector_size(width * sizeof(double))]] = double;
};
template <>
struct RegisterOf<1> {
  using Type = double;
};

/// The same value of `n` cases in registers of `width`.
template <int n, int width>
struct alignas(n * sizeof(double)) Lane {
  static constexpr int cases = n;
  static constexpr int registers = n / width;
  typename RegisterOf<width>::Type part[registers];

  /// The value of one case.
  [[nodiscard, gnu::always_inline]] double& operator[](int which) {
    return reinterpret_cast<double*>(part)[which];
  }

  [[gnu::always_inline]] Lane& operator-=(const Lane& b) {
    for (int r = 0; r < registers; ++r) part[r] -= b.part[r];
    return *this;
  }
  [[gnu::always_inline]] Lane& operator*=(const Lane& b) {
    for (int r = 0; r < registers; ++r) part[r] *= b.part[r];
    return *this;
  }
  [[gnu::always_inline]] friend Lane operator+(Lane a, const Lane& b) {
    for (int r = 0; r < registers; ++r) a.part[r] += b.part[r];
    return a;
  }
  [[gnu::always_inline]] friend Lane operator-(Lane a, const Lane& b) { return a -= b; }
  [[gnu::always_inline]] friend Lane operator*(Lane a, const Lane& b) { return a *= b; }
  [[gnu::always_inline]] friend Lane operator/(Lane a, const Lane& b) {
    for (int r = 0; r < registers; ++r) a.part[r] /= b.part[r];
    return a;
  }
  [[gnu::always_inline]] friend Lane operator-(Lane a) {
    for (int r = 0; r < registers; ++r) a.part[r] = -a.part[r];
    return a;
  }
};

/// 1 / a.
template <class L>
[[gnu::always_inline]] inline L inverse_of(L a) {
  for (int r = 0; r < L::registers; ++r) a.part[r] = 1 / a.part[r];
  return a;
}

}  // namespace thawline::validation

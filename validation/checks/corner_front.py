"""The front in a corner that freezes from both its walls, by an integral equation.

One material, k, rho and c alike in both phases; the quarter plane starts at `far`, the walls are held at
-1, it freezes at 0. Lengths in units of sqrt(4 a t), so that nothing depends on time. Every place gives
off its latent heat in the instant the front passes it, and what that does elsewhere is the field of a
point source between two cold walls. Summed over all that is frozen, with `beta` = latent heat by c and the
difference of wall and melting point,

    T(x, y) = (1 + far) erf x erf y - 1 + beta ∫ g(x, x', 1 - u) g(y, y', 1 - u) dx' dy',

u the time at which the front was at (x', y'), 1 being now. The front y = f(x) is where T = 0. This is the
equation of Rathjen & Jiji 1971 (from memory), solved here by collocation on a spline.
"""

import numpy as np
from scipy.interpolate import CubicSpline
from scipy.optimize import brentq
from scipy.special import erf, erfc

FLAT_FROM = 2.8  # where the front is that of one wall


def wall_front(beta, far):
    """Neumann's front far from the corner."""
    return brentq(lambda l: np.exp(-l * l) / erf(l) - far * np.exp(-l * l) / erfc(l)
                  - np.sqrt(np.pi) * l * beta, 1e-3, 5)


def _points(count):
    x, w = np.polynomial.legendre.leggauss(count)
    return (x + 1) / 2, w / 2


def _source(x, at, s):
    """Field at x of a source of 1 a time s ago at `at`, the wall at 0 held."""
    return (np.exp(-(x - at)**2 / s) - np.exp(-(x + at)**2 / s)) / np.sqrt(np.pi * s)


class CornerFront:
    def __init__(self, beta, far, nodes=20):
        self.beta, self.far, self.wall = beta, far, wall_front(beta, far)
        angle, self._w_angle = _points(100)
        self._angle, self._w_angle = angle * np.pi / 2, self._w_angle * np.pi / 2
        self._across, self._w_across = _points(48)
        self._nodes = np.linspace(0, 1, nodes)**2  # close together by the diagonal
        self._set(self._solve(self._start()))

    def _start(self):
        """The superhyperbola of Rathjen & Jiji, with its constants for beta 0.25 and far 0.3."""
        power = self.wall**5
        bend = (0.4 / 0.176 * power)**2
        diagonal = (power + np.sqrt(bend))**0.2
        return np.append(diagonal, (power + bend / (self._place(diagonal)[1:-1]**5 - power))**0.2 - self.wall)

    def _solve(self, unknowns):
        for _ in range(20):
            miss = self._miss(unknowns)
            if np.abs(miss).max() < 1e-10:
                return unknowns
            slopes = np.empty((len(unknowns), len(unknowns)))
            for i in range(len(unknowns)):
                moved = unknowns.copy()
                moved[i] += 1e-7
                slopes[:, i] = (self._miss(moved) - miss) / 1e-7
            unknowns = unknowns - np.linalg.solve(slopes, miss)
        raise RuntimeError(f"no front in a corner: {np.abs(miss).max()}")

    def _place(self, diagonal):
        return diagonal + (FLAT_FROM - diagonal) * self._nodes

    def _set(self, unknowns):
        """The first is the front on the diagonal, the others f - wall at the nodes beyond but the last."""
        self.diagonal = unknowns[0]
        gaps = np.concatenate([[self.diagonal - self.wall], unknowns[1:], [0.0]])
        ends = ((1, -1.0), (1, 0.0))  # across the diagonal, and flat
        self._gap = CubicSpline(self._place(self.diagonal), gaps, bc_type=ends)

    def _miss(self, unknowns):
        self._set(unknowns)
        at = self._place(self.diagonal)[:-1]
        return np.array([self.temperature(x, float(y)) for x, y in zip(at, self.front(at))])

    def front(self, x):
        """y of the front over x, from the diagonal on."""
        x = np.asarray(x)
        return self.wall + np.where(x < FLAT_FROM, self._gap(np.minimum(x, FLAT_FROM)), 0.0)

    def height(self, x):
        """y of the front over any x beyond the wall's front."""
        if x >= self.diagonal:
            return float(self.front(x))
        return brentq(lambda y: float(self.front(y)) - x, self.diagonal, FLAT_FROM)

    def temperature(self, x, y):
        """T at a place, in units of the difference of melting point and wall."""
        one = (1 + self.far) * erf(x) * erf(y) - 1
        return one + self.beta * (self._branch(x, y) + self._branch(y, x))

    def _branch(self, x, y):
        """What the front's part beyond the diagonal gives."""
        v, root = np.sin(self._angle), np.cos(self._angle)  # 1 - u = v², u = root²
        s = v * v
        low = np.clip((x - 6.5 * v) / root, self.diagonal, FLAT_FROM)
        high = np.clip((x + 6.5 * v) / root, self.diagonal, FLAT_FROM)
        xi = low[:, None] + (high - low)[:, None] * self._across
        front = self.wall + self._gap(xi)
        moved = front - xi * self._gap(xi, 1)
        inside = _source(x, root[:, None] * xi, s[:, None]) * _source(y, root[:, None] * front, s[:, None])
        near = np.sum(inside * moved / 2 * self._w_across, axis=1) * (high - low)
        end = root * FLAT_FROM
        beyond = (erfc((end - x) / v) - erfc((end + x) / v)) / (2 * root)
        flat = self.wall / 2 * beyond * _source(y, root * self.wall, s)
        return float(np.sum((near + flat) * 2 * v * root * self._w_angle))

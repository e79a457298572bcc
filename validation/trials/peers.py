#!/usr/bin/python3
"""The fits of `thawline fit` beside SciPy's least_squares and emcee driving the same library.

    validation/trials/peers.py BUILD [--number 3] [--draws 1500]

BUILD holds `thawline` and `trial_model` (validation/hook.cmake; `cmake --build BUILD --target trial_model`). Tests are those of coverage.py. SciPy
minimises the same whitened residuals from another start, with the errors' deviation and memory as
thawline estimated them; emcee draws from their likelihood. Printed: differences of estimates over the
half width of thawline's interval, and the ratio of half widths. emcee is left out where the Debian
package python3-emcee is not installed.
"""

from __future__ import annotations

import argparse
import json
import pathlib
import subprocess
import tempfile

import numpy as np
from coverage import draw, lay_out, logged
from scipy.optimize import least_squares

SOURCE = pathlib.Path(__file__).resolve().parents[2]


class Library:
    """The model behind a pipe; `unknowns` and `series` as the library states them."""

    def __init__(self, build: pathlib.Path, folder: pathlib.Path) -> None:
        self._pipe = subprocess.Popen([build / "trial_model", "trial.yaml",
                                       SOURCE / "cases" / "materials"], cwd=folder, text=True,
                                      stdin=subprocess.PIPE, stdout=subprocess.PIPE)
        head = json.loads(self._pipe.stdout.readline())
        self.unknowns, self.series = head["unknowns"], head["series"]
        self.logarithmic = head["logarithmic"]

    def predict(self, x: np.ndarray) -> list[np.ndarray] | None:
        """Predictions of all series without offsets; None where there is no case."""
        self._pipe.stdin.write(" ".join(f"{v:.17g}" for v in x) + "\n")
        self._pipe.stdin.flush()
        told = json.loads(self._pipe.stdout.readline())
        return None if told is None else [np.array(s) for s in told]

    def close(self) -> None:
        """End the program behind the pipe."""
        self._pipe.stdin.close()
        self._pipe.wait()


def whitened(library: Library, errors: list[tuple[float, float]], x: np.ndarray) -> np.ndarray:
    """Residuals of variance 1: innovations of each series, then priors; large where no case is."""
    told = library.predict(x)
    rows = []
    for s, (series, (deviation, memory)) in enumerate(zip(library.series, errors)):
        time = np.array(series["time"])
        if told is None:
            rows.append(np.full(len(time), 1e3))
            continue
        residual = np.array(series["measured"]) - told[s]
        for k, unknown in enumerate(library.unknowns):
            if unknown["offset_of"] == s:
                residual = residual - x[k]
        phi = np.exp(-np.diff(time) / memory)
        rows.append(residual[:1] / deviation)
        rows.append((residual[1:] - phi * residual[:-1]) / (deviation * np.sqrt(1 - phi**2)))
    rows.append(np.array([(u["prior"][0] - x[k]) / u["prior"][1]
                          for k, u in enumerate(library.unknowns) if "prior" in u]))
    return np.concatenate(rows)


def natural(values: list[dict], library: Library, key: str) -> np.ndarray:
    """Numbers of the fit's answer on the natural scale."""
    return np.array([np.log(v[key]) if log else v[key]
                     for v, log in zip(values, library.logarithmic)])


def sampled(library, errors, centre, spread, low, high, draws, seed) -> np.ndarray | None:
    """Half widths of the central 95 % of emcee's draws; None without emcee."""
    try:
        import emcee
    except ImportError:
        return None

    def log_likelihood(x: np.ndarray) -> float:
        if np.any(x < low) or np.any(x > high):
            return -np.inf
        return -0.5 * float(np.sum(whitened(library, errors, x) ** 2))

    rng = np.random.default_rng(seed)
    walkers = 4 * len(centre)
    start = np.clip(centre + 0.5 * spread * rng.normal(size=(walkers, len(centre))), low, high)
    np.random.seed(seed)
    sampler = emcee.EnsembleSampler(walkers, len(centre), log_likelihood)
    sampler.run_mcmc(start, draws // walkers)
    chain = sampler.get_chain(discard=draws // walkers // 4, flat=True)
    return (np.quantile(chain, 0.975, axis=0) - np.quantile(chain, 0.025, axis=0)) / 2


def compare(build: pathlib.Path, seed: int, draws: int) -> dict | None:
    """One test; differences and ratios by unknown, None where the truth has no case."""
    told, true, trial = draw(seed)
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        lay_out(folder, told, true, trial)
        if not logged(str(build / "thawline"), folder, seed):
            return None
        fit = json.loads(subprocess.run([build / "thawline", "fit", "trial.yaml", "--json"], cwd=folder,
                                        capture_output=True, text=True, check=True).stdout)
        library = Library(build, folder)
        errors = [(f["deviation_K"], f["memory_s"]) for f in fit["followed"]]
        low = np.array([u["low"] for u in library.unknowns])
        high = np.array([u["high"] for u in library.unknowns])
        start = np.clip(np.array([u["start"] for u in library.unknowns]), low, high)
        centre = natural(fit["values"], library, "value")
        half = (natural(fit["values"], library, "high") - natural(fit["values"], library, "low")) / 2
        found = least_squares(lambda x: whitened(library, errors, x), start, bounds=(low, high),
                              loss="huber", f_scale=2.5, diff_step=1e-3, xtol=1e-8, ftol=1e-8)
        spread = np.sqrt(np.diag(np.linalg.inv(found.jac.T @ found.jac)))
        emcee_half = sampled(library, errors, centre, spread, low, high, draws, seed) \
            if draws else None
        library.close()
    return {"names": [v["name"] for v in fit["values"]], "off": (found.x - centre) / half,
            "scipy": half / (1.96 * spread), "emcee": None if emcee_half is None else half / emcee_half}


def main() -> None:
    """Run the comparison."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("build", type=pathlib.Path)
    parser.add_argument("--number", type=int, default=3)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--draws", type=int, default=6000, help="of emcee; 0 leaves it out")
    options = parser.parse_args()
    for seed in range(options.seed, options.seed + options.number):
        result = compare(options.build.resolve(), seed, options.draws)
        if result is None:
            continue
        print(f"test {seed}")
        for i, name in enumerate(result["names"]):
            line = f"  {name:34} scipy off by {result['off'][i]:+.4f} half widths; " \
                   f"half width over scipy's {result['scipy'][i]:.3f}"
            if result["emcee"] is not None:
                line += f", over emcee's {result['emcee'][i]:.3f}"
            print(line, flush=True)


if __name__ == "__main__":
    main()

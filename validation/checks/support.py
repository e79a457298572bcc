"""What the checks share: rows of results, the programs of the build, columns as jobs."""

import json
import pathlib
import subprocess
import tempfile
from dataclasses import dataclass

import numpy as np

ROOT = pathlib.Path(__file__).resolve().parents[2]
MATERIALS = ROOT / "cases" / "materials"
CASES = ROOT / "validation" / "cases"
ZERO = 273.15


@dataclass
class Row:
    """One compared quantity. `kind`: relative, absolute, range (reference is (low, high)), shown
    (no verdict) or not run (`what` says why; it counts as missed)."""
    what: str
    reference: object
    ours: float
    kind: str
    bar: float = 0.0
    unit: str = ""

    @property
    def difference(self):
        if self.kind == "not run":
            return float("nan")
        if self.kind == "range":
            low, high = self.reference
            return max(low - self.ours, self.ours - high, 0.0)
        miss = self.ours - self.reference
        return miss / self.reference if self.kind == "relative" else miss

    @property
    def passed(self):
        if self.kind == "not run":
            return False
        return self.kind == "shown" or abs(self.difference) <= self.bar


def not_run(why):
    """The row of a check that cannot run here; nothing was compared."""
    return Row(f"not run: {why}", "", "", "not run")


@dataclass
class Line:
    """One line of the table on top of RESULTS.md: the rows whose `what` fits the expression `fits`.
    Without a source or a why of its own it has those of its check."""
    title: str
    fits: str = ""
    source: str = ""
    why: str = ""


@dataclass
class Known:
    """A miss that is explained: it may stay, but may not grow beyond `most` (in the row's measure)."""
    most: float
    reason: str


@dataclass
class Outcome:
    rows: list
    draw: object  # function of matplotlib axes


class Tools:
    """The built programs, whether a quick round was asked for, and how long (s) one program may
    take."""

    def __init__(self, build, quick, longest=None):
        self.build = pathlib.Path(build)
        self.quick = quick
        self.longest = longest

    def _ask(self, program, question, *arguments):
        answer = subprocess.run([self.build / program, *arguments], input=json.dumps(question),
                                capture_output=True, text=True, timeout=self.longest)
        if answer.returncode:
            raise RuntimeError(f"{program} stops with exit code {answer.returncode}: "
                               + answer.stderr.strip()[-200:])
        return json.loads(answer.stdout)

    def columns(self, jobs):
        answers = self._ask("similarity_checks", jobs)
        for answer in answers:
            if not answer["completed"]:
                raise RuntimeError("a column did not complete: " + answer["why"])
        return answers

    def sections(self, jobs):
        answers = self._ask("section_checks", jobs)
        for answer in answers:
            if not answer["completed"]:
                raise RuntimeError("a section did not complete: " + answer["why"])
        return answers

    def laws(self, **question):
        full = {"film": {"conductivity": 0.0253, "buoyancy": 1, "prandtl": 0.7}, "convection": [],
                "curves": [], "levers": [], "enclosures": []}
        full.update(question)
        answer = self._ask("heat_laws", full, str(MATERIALS))
        if None in (answer.get("enclosures") or []):
            raise RuntimeError("bodies about a radiant node: the march does not complete")
        return answer

    def random_boxes(self, count):
        return self._ask("random_boxes", None, str(MATERIALS), str(count))

    def integrators(self, case):
        return self._ask("integrator_reference", None, str(MATERIALS), str(case))

    def run_case(self, text):
        """Runs a case given as YAML text; returns the history as a dict of arrays and texts."""
        import h5py
        with tempfile.TemporaryDirectory() as folder:
            case = pathlib.Path(folder) / "case.yaml"
            case.write_text(text)
            history = pathlib.Path(folder) / "case.h5"
            done = subprocess.run([self.build / "thawline", "run", case, "--history", history,
                                   "--quiet", "--materials", MATERIALS],
                                  capture_output=True, text=True, timeout=self.longest)
            if done.returncode:
                raise RuntimeError(done.stderr.replace(f"{folder}/", ""))
            out = {}
            with h5py.File(history) as file:
                def keep(name, item):
                    if hasattr(item, "shape"):
                        value = item[()]
                        if isinstance(value, bytes):
                            value = value.decode()
                        elif getattr(value, "dtype", np.dtype(float)).kind in "SO":
                            value = [v.decode() for v in value]
                        out[name] = value
                file.visititems(keep)
        for name in ("case/text", "case/resolved"):
            out[name] = "".join(out[name])
        out["resolved"] = json.loads(out["case/resolved"])
        return out


def material(k, rho, c, **more):
    return {"k": k, "rho": rho, "c": c, **more}


ICE = material(2.2, 917, 2050, k_liquid=0.57, c_liquid=4200, melts_at=ZERO, latent=333.4e3)
C14 = material(0.22, 770, 1900, k_liquid=0.15, c_liquid=2200, melts_at=ZERO + 5.9, latent=227e3)


def even(a, b, cells):
    return list(np.linspace(a, b, cells + 1))


def graded(a, b, first, growth):
    """Edges from a to b, the first cell `first` wide and each next `growth` times wider."""
    edges = [a]
    width = first
    while edges[-1] + width < b:
        edges.append(edges[-1] + width)
        width *= growth
    edges.append(b)
    return edges


def held(end):
    """A face held at the temperature of `end` (air or ground)."""
    return {"to": end, "conductance": 1e9}


def column(geometry, layers, start, inner, outer, times, *, air=None, ground=ZERO, accuracy=0.002):
    return {"geometry": geometry, "layers": layers, "start": start, "inner": inner, "outer": outer,
            "air": air or {"constant": ZERO}, "ground": ground,
            "times": [float(t) for t in times], "accuracy": accuracy}


def centres(job):
    """Middles of the cells of a job, m."""
    return np.concatenate([(np.array(l["edges"][1:]) + np.array(l["edges"][:-1])) / 2
                           for l in job["layers"]])


def at_depth(job, shot, x):
    """Temperature (degC) at depth x: linear between cell middles and the faces."""
    depth = centres(job)
    value = np.array(shot["temperature"])
    surfaces = list(shot["surface"])
    if job["inner"]:
        depth = np.insert(depth, 0, job["layers"][0]["edges"][0])
        value = np.insert(value, 0, surfaces.pop(0))
    if job["outer"]:
        depth = np.append(depth, job["layers"][-1]["edges"][-1])
        value = np.append(value, surfaces.pop(0))
    return np.interp(x, depth, value) - ZERO

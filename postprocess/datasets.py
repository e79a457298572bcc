"""Checked access to the datasets of a history file."""

from __future__ import annotations

from pathlib import Path

import h5py
import numpy as np

from mark import read_mark, sum_of


class HistoryError(Exception):
    """A history cannot be used; the message is one whole sentence."""


def open_history(path: Path, kind: str = "history", version: int = 3) -> h5py.File:
    """Open the history or the table at `path`, also a history that a run is still writing.

    The bytes of a whole file are held against its checksum before HDF5 reads any of them.
    """
    try:
        if path.is_dir():
            raise HistoryError(f"{path} is a folder, not a {kind} file.")
        if not path.exists():
            raise HistoryError(f"There is no file {path}.")
        if not path.is_file():
            raise HistoryError(f"{path} is no plain file.")
        mark = read_mark(path)
        if mark is None or mark.kind != kind:
            raise HistoryError(f"{path} is not a Thawline {kind} of layout {version}.")
        if mark.version != version:
            raise HistoryError(f"{path} is a {kind} of layout {mark.version}, "
                               f"but this program reads layout {version}.")
        if mark.sha256 and mark.sha256 != sum_of(path):
            raise HistoryError(f"{path} is damaged or was changed: "
                               "its bytes are not those that were written.")
        return h5py.File(path, "r", locking=False)
    except OSError as error:
        reason = error.strerror or " ".join(str(error).split())
        raise HistoryError(f"{path} cannot be opened: {reason}.") from error


class Source:
    """The datasets of one open file, checked for presence, unit and shape.

    An unfinished file has room for all rows of its run and lacks its outcomes: series are cut to
    the rows whose time has come, and missing outcomes count as never come.
    """

    def __init__(self, path: Path, file: h5py.File, completed: bool) -> None:
        self.path = path
        self._file = file
        self._completed = completed
        self.instants = self._count_instants()

    def has(self, name: str) -> bool:
        """Whether the file holds the dataset `name`."""
        return name in self._file

    def text_attribute(self, name: str) -> str:
        """A root attribute as text, empty when absent."""
        value = self._file.attrs.get(name, "")
        return plain(value.decode(errors="replace") if isinstance(value, bytes) else str(value))

    def series(self, name: str, units: str, width: int | None = None) -> np.ndarray:
        """A time series, shape (T,) or (T, width)."""
        dataset = self._dataset(name, units)
        tail = () if width is None else (width,)
        if dataset.shape is None or 0 in tail:
            array = np.empty((self.instants, *tail))
        else:
            self._require_shape(name, dataset.shape[1:], tail, "after its first axis")
            array = np.asarray(dataset[: self.instants], dtype=float)
            self._require_shape(name, array.shape, (self.instants, *tail))
        return _frozen(array)

    def values(self, name: str, units: str, count: int | None = None) -> np.ndarray:
        """Numbers that do not change with time, shape (count,) or of any length."""
        dataset = self._dataset(name, units)
        array = _whole(dataset, float)
        self._require_shape(name, array.shape, (array.size if count is None else count,))
        return _frozen(array)

    def table(self, name: str, shape: tuple[int, int]) -> np.ndarray:
        """Whole numbers in rows and columns."""
        array = _whole(self._dataset(name, None), int)
        self._require_shape(name, array.shape, shape)
        return _frozen(array)

    def whole_attribute(self, group: str, name: str) -> int:
        """A whole number among the attributes of `group`, 0 when absent."""
        return int(self._file[group].attrs.get(name, 0))

    def integers(self, name: str, count: int | None = None) -> np.ndarray:
        """Whole numbers, shape (count,) or of any length."""
        array = _whole(self._dataset(name, None), int)
        self._require_shape(name, array.shape, (array.size if count is None else count,))
        return _frozen(array)

    def names(self, name: str, count: int | None = None) -> tuple[str, ...]:
        """A list of names, `count` of them when that is known."""
        dataset = self._dataset(name, None)
        if dataset.shape is None or dataset.size == 0:
            texts: tuple[str, ...] = ()
        else:
            found = dataset.asstr(errors="replace")[...].reshape(-1).tolist()
            texts = tuple(plain(text) for text in found)
        if count is not None:
            self._require_shape(name, (len(texts),), (count,))
        return texts

    def outcomes(self, name: str, count: int, units: str = "s") -> tuple[float | None, ...]:
        """Numbers known at the end of a run, such as instants; None for what never came."""
        if not self._completed and not self.has(name):
            return (None,) * count
        never = -1.0
        return tuple(
            None if value == never or np.isnan(value) else float(value)
            for value in self.values(name, units, count)
        )

    def require_indices(self, name: str, indices: np.ndarray, low: int, end: int) -> None:
        """Fail unless low <= index < end for all `indices` of the dataset `name`."""
        if np.any(indices < low) or np.any(indices >= end):
            raise HistoryError(f"{self.path} has indices in {name} that name nothing.")

    def _count_instants(self) -> int:
        dataset = self._dataset("/time", "s")
        instants = dataset.shape[0] if dataset.shape else 0
        if self._completed or instants == 0:
            return instants
        late = np.flatnonzero(dataset[...] < 0)
        return int(late[0]) if len(late) else instants

    def _dataset(self, name: str, units: str | None) -> h5py.Dataset:
        dataset = self._file.get(name)
        if not isinstance(dataset, h5py.Dataset):
            raise HistoryError(f"{self.path} lacks the dataset {name}.")
        found = dataset.attrs.get("units", units)
        found = found.decode() if isinstance(found, bytes) else found
        if units is not None and found != units:
            raise HistoryError(
                f"{self.path} gives {name} in {found} where {units} is expected."
            )
        return dataset

    def _require_shape(
        self, name: str, found: tuple[int, ...], expected: tuple[int, ...], where: str = ""
    ) -> None:
        if found != expected:
            place = f" {where}" if where else ""
            raise HistoryError(
                f"{self.path} has {name} with shape {found}{place} where {expected} is expected."
            )


def plain(text: str) -> str:
    """`text` with a space for each character that no picture can show, such as controls."""
    return "".join(c if c.isprintable() or c == "\N{NO-BREAK SPACE}" else " " for c in text)


def _whole(dataset: h5py.Dataset, kind: type) -> np.ndarray:
    if dataset.shape is None:
        return np.empty(0, dtype=kind)
    return np.asarray(dataset[...], dtype=kind)


def _frozen(array: np.ndarray) -> np.ndarray:
    array.flags.writeable = False
    return array

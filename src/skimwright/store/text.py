"""One file's bytes as text, or one sentence saying why not."""

from __future__ import annotations

from pathlib import Path

from skimwright.base import InputError, MissingError, StoreError, Where
from skimwright.store.season_file.inside import bytes_in, contents_of, inside

LARGEST = 20_000_000  # bytes; a season's largest list is a thousand times smaller


def read_text(path: Path, *, name: str = "") -> str:
    """The text of a UTF-8 file, with or without a byte-order mark, any line ends.

    Parameters
    ----------
    path : Path
        The file; it may stand in a season file: ``our.season/boats.csv``.
    name : str
        What to call it in messages; its own name if blank.

    Raises
    ------
    MissingError
        There is no such file.
    InputError
        It is not UTF-8 text.
    StoreError
        The computer would not let it be read.
    """
    where = Where(file=name or path.name)
    if spot := inside(path):
        return decode(bytes_in(contents_of(spot[0]), spot[1]), where)
    return decode(read_raw(path, name=name), where)


def read_raw(path: Path, *, name: str = "") -> bytes:
    """The bytes of a file, as `read_text` gets them."""
    where = Where(file=name or path.name)
    try:
        if path.stat().st_size > LARGEST:
            raise InputError(
                what="too large for a season file",
                got=f"{path.stat().st_size / 1e6:.0f} MB",
                allowed=f"up to {LARGEST / 1e6:.0f} MB",
                do="Check that this is the file you meant.",
                where=where,
            )
        return path.read_bytes()
    except FileNotFoundError:
        raise MissingError(
            what="no such file", do="Check the name, or write the file first.", where=where
        ) from None
    except OSError as error:
        raise StoreError(
            what="could not be read",
            got=(error.strerror or "an unknown fault").lower(),
            do="Close it in other programs, check who may read it, and try again.",
            where=where,
        ) from error


def decode(raw: bytes, where: Where) -> str:
    """Bytes as text, whatever its line ends.

    Raises
    ------
    InputError
        They are not UTF-8 text.
    """
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise _not_text(where, row=raw.count(b"\n", 0, error.start) + 1) from error
    if "\0" in text:
        raise _not_text(where, row=text.count("\n", 0, text.index("\0")) + 1)
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _not_text(where: Where, *, row: int) -> InputError:
    return InputError(
        what="not plain UTF-8 text",
        got="a character this reader cannot make out",
        allowed="text saved as UTF-8",
        do="Open it in your editor or spreadsheet and save it again as UTF-8 text.",
        where=Where(file=where.file, row=row),
    )

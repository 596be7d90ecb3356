"""A path that leads into a season file, ``our.season/boats.csv``, as if the file were a folder.

So every verb reads and writes a season in one file as it does one in a folder, and knows nothing of it.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from skimwright.base import MissingError, StoreError, Where
from skimwright.desk import SeasonContents, as_plain_files

SUFFIX = ".season"


def is_season_file(path: Path) -> bool:
    """Whether this names one file that holds a season, there or not."""
    return path.suffix == SUFFIX and not path.is_dir()


def inside(path: Path) -> tuple[Path, str] | None:
    """The season file and the name in it, if the path leads into one."""
    for above in path.parents:
        if is_season_file(above) and above.is_file():
            return above, path.relative_to(above).as_posix()
    return None


def contents_of(season: Path) -> SeasonContents:
    """Everything in a season file."""
    from skimwright.store.season_file.reading import read_contents

    return read_contents(season)


def bytes_in(contents: SeasonContents, name: str) -> bytes:
    """One plain file of a season.

    Raises
    ------
    MissingError
        The season has none of that name.
    StoreError
        It had, but the season file is damaged there.
    """
    raw = as_plain_files(contents).get(name)
    if raw is not None:
        return raw
    if name in contents.lost:
        raise StoreError(
            what="the season file is damaged here and this cannot be read",
            do="`skimwright export DIR --season FILE` saves the rest; take this one from the last kept copy.",
            where=Where(file=name),
        )
    raise MissingError(
        what="no such file", do="Check the name, or write the file first.", where=Where(file=name)
    )


def write_inside(season: Path, name: str, content: bytes) -> None:
    """Put one plain file into a season file."""
    from skimwright.store.season_file.writing import SeasonFile

    with SeasonFile(season) as file:
        file.write({name: content})


def rewrite_inside(season: Path, name: str, how: Callable[[bytes | None], bytes]) -> None:
    """Make one plain file of a season from what it holds; nobody writes in between."""
    from skimwright.store.season_file.writing import SeasonFile

    with SeasonFile(season) as file:
        file.rewrite(name, how)

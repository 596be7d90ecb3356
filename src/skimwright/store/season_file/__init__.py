"""A season in one file: SQLite inside, its tables ours alone."""

from skimwright.store.season_file.keeping import KeptSeason, keep_season
from skimwright.store.season_file.reading import read_contents
from skimwright.store.season_file.writing import SeasonFile, new_season, write_files

__all__ = ["KeptSeason", "SeasonFile", "keep_season", "new_season", "read_contents", "write_files"]

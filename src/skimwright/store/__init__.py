"""Files at the edge: a season folder of plain TOML and CSV, as a person would write it."""

from skimwright.store.csv_rows import read_grid, read_rows
from skimwright.store.folder import find_season, is_file, plain_files, read_season_folder, read_tables
from skimwright.store.json_file import read_json
from skimwright.store.run_rows import add_rows, change_row
from skimwright.store.toml_table import read_table
from skimwright.store.toml_text import toml_text
from skimwright.store.write import copy_files, erase, write_file

__all__ = [
    "add_rows",
    "change_row",
    "copy_files",
    "erase",
    "find_season",
    "is_file",
    "plain_files",
    "read_grid",
    "read_json",
    "read_rows",
    "read_season_folder",
    "read_table",
    "read_tables",
    "toml_text",
    "write_file",
]

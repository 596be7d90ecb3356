"""``python -m skimwright.cli > docs/cli.md``: the page of commands, made anew."""

import sys

from skimwright.cli.help import commands_page
from skimwright.cli.verbs import shelved_verbs

sys.stdout.write(commands_page(shelved_verbs()))

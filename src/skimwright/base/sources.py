"""Every source Skimwright rests on, under the key its docstrings use."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from skimwright.base.source import Source, cite
from skimwright.base.sources_air import SOURCES_AIR
from skimwright.base.sources_water import SOURCES_WATER

__all__ = ["SOURCES", "Source", "cite"]

SOURCES: Mapping[str, Source] = MappingProxyType({**SOURCES_WATER, **SOURCES_AIR})

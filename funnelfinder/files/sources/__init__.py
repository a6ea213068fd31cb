"""Grids and pictures from public sources, and from those that a person adds."""

from funnelfinder.files.sources.bring import BroughtIn, bring_in, yes
from funnelfinder.files.sources.kept_bytes import cache_folder, empty, kept_size
from funnelfinder.files.sources.plan import Request, planned, said_bytes
from funnelfinder.files.sources.table import (
    Bring,
    Source,
    own_table,
    shipped_sources,
    usual_sources,
    with_own,
)
from funnelfinder.files.sources.wire import Patience

__all__ = [
    "Bring",
    "BroughtIn",
    "Patience",
    "Request",
    "Source",
    "bring_in",
    "cache_folder",
    "empty",
    "kept_size",
    "own_table",
    "planned",
    "said_bytes",
    "shipped_sources",
    "usual_sources",
    "with_own",
    "yes",
]

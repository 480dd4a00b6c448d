"""What tests of conditions and of their pictures share."""

import pytest

from bogwright.judge.bench import Bench
from invented import with_retention


@pytest.fixture(scope="module")
def bench(run_cache):
    """The shipped knowledge with two invented media."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("BOGWRIGHT_CACHE", str(run_cache))
        patch.delenv("BOGWRIGHT_KB", raising=False)
        opened = Bench.open()
    opened.tables = with_retention(opened.tables)
    return opened

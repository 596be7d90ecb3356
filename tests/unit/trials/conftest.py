import pytest
from conftest_law import plain_law


@pytest.fixture
def law():
    return plain_law()

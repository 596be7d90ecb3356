"""A kit: drawn, laid on sheets, cut, packed, bought and put together."""

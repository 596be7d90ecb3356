"""One boat as built: checked, weighed, floated, forecast and trimmed."""

"""The regatta day: lots, plan, calls, results, points, paper."""

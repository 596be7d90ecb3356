"""Trial runs: logged, learnt from, and the gate."""

"""Speed as ratios: the whole proof beside a plain replay of one blank, measured in one run."""

"""Many jobs at once: found, proved side by side, each answer a row that streams out when it is
done."""

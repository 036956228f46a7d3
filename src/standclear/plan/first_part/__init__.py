"""From a measured first part to the corrections to key in."""

"""The set-up sheet: gathered from a proof as plain data, laid out by typst, checked later."""

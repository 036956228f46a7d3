"""The views of the page itself, one file a subject; panels bring their own."""

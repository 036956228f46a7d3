"""Pictures that are dragged beside the section: the stock map and the length budget."""

"""Local rule packs: data files with citations, and what evaluates them."""

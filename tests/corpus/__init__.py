"""Files with one mistake each, and what the command must say of them."""

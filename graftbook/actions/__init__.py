"""One verb, one function: the book and plain arguments in, a frozen result out. The only place where the rooms meet."""

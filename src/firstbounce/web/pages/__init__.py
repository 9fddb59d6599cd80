"""The pages: a route, a frozen context and a template each."""

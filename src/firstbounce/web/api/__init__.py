"""The JSON interface: everything that the pages do, described by OpenAPI."""

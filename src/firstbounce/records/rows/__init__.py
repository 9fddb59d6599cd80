"""What a row of the records says, as frozen dataclasses that check themselves.

The same classes are the shapes of the JSON interface: build one from plain values with `rows.base.row_from`.
"""

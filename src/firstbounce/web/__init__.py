"""Pages, their scripts and the JSON interface: no SQL, no physics. See docs/web.md."""

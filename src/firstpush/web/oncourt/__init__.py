"""On court: what a device needs to do a session without signal, and how what was logged comes back, once.

`entries.keep` takes entries in; `package.package_text` gives a session out; docs/why/on-court.md is the contract.
"""

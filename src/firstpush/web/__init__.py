"""The application in the browser: Django over core and sheets.

`serve.start` serves a data folder; `access` is the one door to what is stored; every rule of the trade lives in core.
"""

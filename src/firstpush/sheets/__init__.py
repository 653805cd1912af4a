"""Paper: finished words in (`content.py`), PDF/UA-1 out (`session_sheet.py`), laid out by Typst files (`templates/`).

Public: `SheetContent` and its parts, `session_pdf`.
"""

"""Printed pages read back by an independent reader."""

from __future__ import annotations


def codes_in(path, dpi=150):
    """Every code on every page, read by zxing-cpp from the page as rendered by pypdfium2."""
    import pypdfium2
    import zxingcpp

    document = pypdfium2.PdfDocument(path)
    try:
        pages = [page.render(scale=dpi / 72, grayscale=True).to_pil() for page in document]
    finally:
        document.close()
    return [found.text for page in pages for found in zxingcpp.read_barcodes(page)]

"""The trade's sums, one topic a file: pure, exact, each with its working and its source.

A new calculation is one new file here: its texts in ``TEXTS``, its functions, and ``CALCULATIONS``
that describe their inputs. The page, the command line and the help are made from that.
"""

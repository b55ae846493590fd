//! The forms a catalogue comes in: a workbook, and folders of CSV as various programs write them.

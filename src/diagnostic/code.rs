//! The stable names of input errors, each with its cause and its cure.

macro_rules! codes {
    ($($name:ident = $text:literal { $short:literal, cause: $cause:literal, cure: $cure:literal })+) => {
        /// The stable name of a kind of input error.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Code { $(#[doc = $short] $name,)+ }

        impl Code {
            /// All codes.
            pub const ALL: &'static [Self] = &[$(Self::$name,)+];

            /// The code as printed.
            pub fn as_str(self) -> &'static str {
                match self { $(Self::$name => $text,)+ }
            }

            /// What it says, in one line.
            pub fn short(self) -> &'static str {
                match self { $(Self::$name => $short,)+ }
            }

            /// How it comes about.
            pub fn cause(self) -> &'static str {
                match self { $(Self::$name => $cause,)+ }
            }

            /// What mends it.
            pub fn cure(self) -> &'static str {
                match self { $(Self::$name => $cure,)+ }
            }
        }
    };
}

codes! {
    NotYaml = "not-yaml" {
        "the layout file is not YAML",
        cause: "The file cannot be taken apart into keys and values. Most often a line is indented by a tab or by another number of blanks \
                than its neighbours, a bracket or a quotation mark is not closed, or a text with `: ` or ` #` in it is not in quotes.",
        cure: "Look at the line that is shown and at the one above it. Indent by blanks, the same number for everything that belongs \
               together; put a text with signs in it in 'quotes'. The file must be saved as text in UTF-8."
    }
    TooLarge = "too-large" {
        "larger, deeper or more repetitive than any layout or catalogue",
        cause: "A limit was passed that no layout or catalogue comes near: the bytes of the file, its rows, cells, values or aliases, the \
                length of one text, or what a plan would count. Such files are made by accident (a stray cell at the far end of a sheet) or \
                to do harm.",
        cure: "Delete what does not belong in the file: in a spreadsheet program, the rows and columns beyond the table. If the file is \
               right and that large, `--large` raises the limits tenfold; they stand in the README under `Limits`."
    }
    UnknownKey = "unknown-key" {
        "a key, or a row by its name, that does not exist",
        cause: "A word before a colon of the layout file, or the name of a rate in the sheet Rates, is none that is read. Rather than pass \
                over it, and with it what you meant, the program stops.",
        cure: "Correct the spelling; the nearest known word is shown. What is only a remark goes behind a `#`."
    }
    DuplicateKey = "duplicate-key" {
        "a key, column or sheet that stands twice",
        cause: "The same key is written twice for one thing, the same column or sheet is there twice, or an attribute is asked twice. Which of \
                them counts would be a guess.",
        cure: "Keep one of the two. Things that are alike are items of a list, each with a `- ` before its first key."
    }
    MissingKey = "missing-key" {
        "a key, or a row by its name, that must be there",
        cause: "Something has no default and cannot be guessed, such as the `id` of a turnout, the `kind` of a signal or the home currency.",
        cure: "Write it; what is expected shows how."
    }
    DuplicateId = "duplicate-id" {
        "two things with one name",
        cause: "Two things of one sort have the same name. Capital letters, blanks about a name and the way an accent is stored do not tell \
                names apart. Both ends of a slip make names of their own: T1a and T1b of a double slip T1.",
        cure: "Rename one of the two, also where others refer to it."
    }
    UnknownId = "unknown-id" {
        "a name that names nothing",
        cause: "Something refers to a board, device, scheme, part or the like by a name that nothing has.",
        cure: "Correct the spelling, here or where the thing is named; the nearest name is shown. Or add what is missing."
    }
    UnknownWord = "unknown-word" {
        "a word that is not one of a fixed list",
        cause: "Only a few words have a meaning in this place, such as insulated, live and blade fed for a frog.",
        cure: "Take one of the words that are listed; `README.md` explains them."
    }
    WrongType = "wrong-type" {
        "a value of another sort than the one that belongs there",
        cause: "A list stands where a text should be, words stand where a number should be, or a date is not written year first.",
        cure: "Write it as the example beside `expected` is written. A number has digits and at most one decimal point; a date looks like \
               2026-11-02."
    }
    WrongUnit = "wrong-unit" {
        "no unit, an unknown one, or one of another sort",
        cause: "A quantity has no unit, one that is not known, or one that measures something else, such as volts for a length. Millimetres \
                and inches cannot be told apart by the number alone, so none is guessed. Small and capital letters matter: mm, V, mA.",
        cure: "Write the unit behind the number, such as `9 mm` or `12 V`. In the workbook the unit stands in the heading, in round \
               brackets; a cell may hold another of the same sort."
    }
    OutOfRange = "out-of-range" {
        "a value that makes no sense",
        cause: "A number is smaller or larger than it can be: a point beside its board, a length below nothing, a voltage that is not \
                extra-low, a sum beyond all prices.",
        cure: "Check the number and its unit against what is expected. Mains voltage is never ours to plan."
    }
    Unreachable = "unreachable" {
        "a board that no joint connects to the panel",
        cause: "There are things to move on a board to which no joint leads from the panel, so no wire could.",
        cure: "Add the joint under `joints`; if that key is left out, each board is joined to the next."
    }
    NotAWorkbook = "not-a-workbook" {
        "a file that is no workbook or table, or a damaged one",
        cause: "The file is of another sort than its name says, damaged, locked with a password, or a workbook of the old .xls form. A table \
                may be saved in letters other than UTF-8, or have a quotation mark that is opened and never closed.",
        cure: "Open it in a spreadsheet program and save it as .xlsx or .ods without a password, or each sheet as CSV in UTF-8 in one \
               folder."
    }
    MissingSheet = "missing-sheet" {
        "a sheet of the catalogue that must be there",
        cause: "The workbook has no sheet of that name, or the folder no such file.",
        cure: "Name the sheet as is expected. To begin with a whole catalogue, `underboard start` writes one."
    }
    MissingColumn = "missing-column" {
        "a column that must be there",
        cause: "No heading in row 1 of the sheet is the one that is needed. Headings below row 1 are not seen.",
        cure: "Write the heading into row 1, spelt as is expected. Columns may stand in any order."
    }
    UnknownColumn = "unknown-column" {
        "a column that is passed over; only a notice",
        cause: "A heading is none that is read, or cells stand under no heading. They may be remarks of yours, or a slip in a heading.",
        cure: "If it is yours, nothing. If it was meant to count, correct the heading."
    }
    EmptyCell = "empty-cell" {
        "a cell that must be filled",
        cause: "The row cannot be used without this value, by itself or because of what stands in another cell of the row.",
        cure: "Fill the cell, or delete the whole row."
    }
    NoValue = "no-value" {
        "a formula without a result, or with an error for one",
        cause: "The cell holds a formula whose result was never stored, as programs write it that do not reckon, or whose result is an error \
                such as #REF!.",
        cure: "Open the workbook in a spreadsheet program, mend the formula if it shows an error, and save it: results are stored then."
    }
    WrongMoney = "wrong-money" {
        "a sum of money that cannot be read",
        cause: "A price holds words, signs between thousands, a decimal comma where the table has points, or the sign of a currency that is \
                not the supplier's.",
        cure: "Write a plain number, such as 1250.50, in the currency that the sheet Suppliers names. In a table whose cells are parted by \
               semicolons, a decimal comma is right."
    }
    Ring = "ring" {
        "things that refer to one another in a ring",
        cause: "Each takes its meaning from the next and the last from the first: a scheme that is `like` one that is like it, or an alias \
                within what it repeats.",
        cure: "Break the ring: one of them must stand by itself."
    }
    Contradiction = "contradiction" {
        "two statements that cannot both hold",
        cause: "What is written here does not go with what is written elsewhere, such as arms for a colour light, or a scheme that cannot \
                move what it is fixed for.",
        cure: "Decide which of the two is meant, and change or delete the other."
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::Code;

    #[test]
    fn every_code_is_unique_and_explained() {
        let texts: BTreeSet<&str> = Code::ALL.iter().map(|code| code.as_str()).collect();
        assert_eq!(texts.len(), Code::ALL.len());
        for code in Code::ALL {
            assert!(!code.short().ends_with('.') && code.short().len() < 70, "{code:?}");
            assert!(code.cause().ends_with('.') && code.cure().ends_with('.'), "{code:?}");
        }
    }
}

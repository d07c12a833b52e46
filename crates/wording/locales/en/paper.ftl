# Printed documents.

paper-cli-format = As text, as one page to print, or as PDF
paper-cli-size = Size of the sheets of a PDF
paper-not-built = This program was built without PDF. Take html and print it, or build it with: cargo build --release --features pdf
paper-no-output = A PDF goes into a file: say which with --output
paper-fault = The PDF could not be set, which is a fault of this program: { $why }
paper-missing = No face here has these letters, they stand as empty boxes: { $letters }

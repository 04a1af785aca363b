"""Characters to nouns and back; no file is opened here.

    source        a file being read: lines, places, problems, characters that no file may hold
    fields        YAML by nodes, values with their own text (the only door to yaml); writing YAML
    mapping       typed reading of a mapping: every key asked for by name, what is left over is unknown
    grammar       ids, lists, dates, numbers, minutes, fixes; `limits` and `check_values` the keys of a check
    items         Markdown with boxes, shared by checklists and worksheets
    checklist, aircraft, record, worksheet     one reader each; `page_facts`, `page_values` what two of them share
    kinds         what stands in a record, by the table of its kind
    worksheet_out, page_edit                   pages as text, and edits of an open page line by line
"""

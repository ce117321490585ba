"""How the walk screen lays itself out at each size; colours stand with the parts themselves."""

LAYOUT = """
WalkScreen { layout: vertical; }
WalkScreen #head { height: auto; background: $panel; color: $text; padding: 0 1; }
WalkScreen #title { text-style: bold; }
WalkScreen #standing { color: $faint; }
WalkScreen #body { height: 1fr; layout: horizontal; }
WalkScreen #foot { height: auto; border-top: solid $line; }
WalkScreen #heard { padding: 0 1; }
WalkScreen #notice { padding: 0 1; text-style: bold; }
WalkScreen #talk-key { padding: 0 1; text-style: bold; }
WalkScreen #caption { padding: 0 1; }
WalkScreen #entry { height: 1; }
WalkScreen #mark { width: 3; padding: 0 1; text-style: bold; }
WalkScreen Input { width: 1fr; background: $ground; color: $text; }
WalkScreen Input:focus { background: $ground; }
WalkScreen Input > .input--placeholder { color: $faint; }
WalkScreen .hidden { display: none; }

WalkScreen.-broad AskPanel LeadsDrawing { display: none; }
WalkScreen.-wide AskPanel LeadsDrawing { display: none; }
WalkScreen.-wide SidePanel { width: 38; }

WalkScreen.-narrow #body { layout: vertical; }
WalkScreen.-narrow SidePanel {
    width: 1fr; height: auto; max-height: 6; border-left: none; border-top: solid $line;
}
WalkScreen.-narrow SidePanel:focus { border-left: none; border-top: heavy $accent; }
WalkScreen.-narrow SidePanel LeadsDrawing { display: none; }

WalkScreen.-tiny SidePanel { display: none; }
WalkScreen.-tiny #standing { display: none; }
WalkScreen.-tiny KeyLine { max-height: 1; }
WalkScreen.-tiny AskPanel { margin-top: 0; }

WalkScreen.-high AskPanel .prompt { padding: 1 2; }
WalkScreen.-high AskPanel .expected { padding: 0 2; }
WalkScreen.-high AskPanel .seen { padding: 1 2 0 2; }
WalkScreen.-high VerdictPanel VerdictBlock { margin-top: 1; }
WalkScreen.-high VerdictPanel VerdictBlock > .verdict { padding: 1 2; }
"""

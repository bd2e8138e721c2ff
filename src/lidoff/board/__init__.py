"""From ordinary photos of a board to nets in millimetres.

Knows: photos, the board frame, copper, holes, packages, nets, distances, tracks, and how to invent a board and photograph it.
Must not know: solving, pages, dossiers. Lengths in this room are millimetres in the board frame (see `lidoff.board.frame`)
unless a docstring says metres; electrical quantities are SI.

The way: `read_photo` → `find_outline` → `register_by_outline` → `rectify` → `find_round_spots` → `align_back` →
`prepare_side` → `copper_of_prepared` → `pieces_of` → `board_links` → `nets_from_links` → `circuit_parts`.
"""

from __future__ import annotations

from lidoff.board.align import Alignment, HolePair, align_back, pick_turn
from lidoff.board.beeps import (
    Beep,
    Change,
    Contradiction,
    Explanation,
    contradictions,
    least_changes,
    with_changes,
)
from lidoff.board.board_json import board_from_dict, board_to_dict
from lidoff.board.by_hand import ByHand, Ruler, SideMarks, by_hand_from_dict, with_hand
from lidoff.board.classes import (
    BACKGROUND,
    BARE,
    BODY,
    BRIDGE,
    CLASSES,
    COVERED,
    CUT,
    HOLE,
    LAMINATE,
    LEGEND,
    Stroke,
    painted,
)
from lidoff.board.coarse_photos import coarse_photos
from lidoff.board.copper import Copper, with_strokes, without_copper
from lidoff.board.copper_found import CopperFound, changed_since_found, with_found
from lidoff.board.distances import Distance, clearance, counted_grooves, creepage
from lidoff.board.drilled import with_hole
from lidoff.board.follow import Followed, follow_copper, way_along
from lidoff.board.frame import BACK, FRONT, SIDES, Registration
from lidoff.board.generator import FINISHES, BoardPhotos, Camera, Truth, View, photo_of_side, render_photos
from lidoff.board.guess import FirstGuess, first_guess
from lidoff.board.halving import halving_probe
from lidoff.board.holes import RoundSpot, find_round_spots
from lidoff.board.invent import PartToPlace, layout_from_parts, random_layout
from lidoff.board.islands import (
    Island,
    Join,
    Pieces,
    doubtful_necks,
    pieces_of,
)
from lidoff.board.layout import Body, Hole, Layout, Legend, Pad, Place, Pour, Track, check_layout, rectangle
from lidoff.board.light import Mosaic, aligned_to, flat_field, glare_free, mosaic
from lidoff.board.net_distances import (
    NetDistance,
    conductors_of,
    edge_uncertainty_of,
    net_distance,
    round_the_edge,
)
from lidoff.board.nets import Link, Net, Nets, Wire, board_links, nets_from_links
from lidoff.board.next_steps import next_steps
from lidoff.board.outline import Outline, board_mask, find_outline, lens_from_edges
from lidoff.board.package import (
    LONGEST_LEAD,
    ClickSpan,
    Land,
    LandPattern,
    PlacedPart,
    all_packages,
    click_span,
    lands_of,
    package,
    place_part,
    row_of_pads,
)
from lidoff.board.photo import FORMATS, LARGEST_BYTES, LARGEST_PIXELS, Photo, check_unchanged, read_photo
from lidoff.board.photo_file import check_photo_file
from lidoff.board.pictures import (
    picture_of_alignment,
    picture_of_classes,
    picture_of_copper,
    picture_of_distance,
    picture_of_nets,
    save_picture,
)
from lidoff.board.pixel_model import VIEW_TREES, PixelModel, classify, learn
from lidoff.board.plating import holes_of_spots, plating_of
from lidoff.board.polygons import island_polygons, piece_polygons, pieces_from_polygons
from lidoff.board.prepared_side import (
    PreparedSide,
    copper_of_prepared,
    copper_of_side,
    prepare_side,
    with_parts,
)
from lidoff.board.probes import Probe, ProbePlan, probe_plan
from lidoff.board.rasters import copper_truth, pad_corners
from lidoff.board.rectify import Rectified, rectify
from lidoff.board.register import (
    Aspect,
    aspect_of_outline,
    outline_polygon,
    register_by_outline,
    register_by_points,
    rescaled_by_length,
    rescaled_by_pitch,
)
from lidoff.board.registering import Registered, check_scale, register_sides
from lidoff.board.router import Routed, TrackRules, route
from lidoff.board.shape import shape_on_photo
from lidoff.board.step_pictures import picture_of_parts, pictures_of_tracing
from lidoff.board.suggest import BareLand, Suggestion, bare_lands, suggest_parts
from lidoff.board.traced import (
    Board,
    TracedPart,
    TracedSide,
    board_from_layout,
    board_nets,
    circuit_parts,
    doubtful_joins,
    links_of_board,
    traced_side,
)
from lidoff.board.tracing import SidePhoto, SideSteps, Tracing, outline_raster, trace_board
from lidoff.board.tracks import TrackMeasure, copper_resistivity, ipc_2221_current, measure_track, track_part
from lidoff.board.view_classes import ViewClasses, classes_in_view, learn_for_view, prepare_for_view

__all__ = [
    "BACK",
    "BACKGROUND",
    "BARE",
    "BODY",
    "BRIDGE",
    "CLASSES",
    "COVERED",
    "CUT",
    "FINISHES",
    "FORMATS",
    "FRONT",
    "HOLE",
    "LAMINATE",
    "LARGEST_BYTES",
    "LARGEST_PIXELS",
    "LEGEND",
    "LONGEST_LEAD",
    "SIDES",
    "VIEW_TREES",
    "Alignment",
    "Aspect",
    "BareLand",
    "Beep",
    "Board",
    "BoardPhotos",
    "Body",
    "ByHand",
    "Camera",
    "Change",
    "ClickSpan",
    "Contradiction",
    "Copper",
    "CopperFound",
    "Distance",
    "Explanation",
    "FirstGuess",
    "Followed",
    "Hole",
    "HolePair",
    "Island",
    "Join",
    "Land",
    "LandPattern",
    "Layout",
    "Legend",
    "Link",
    "Mosaic",
    "Net",
    "NetDistance",
    "Nets",
    "Outline",
    "Pad",
    "PartToPlace",
    "Photo",
    "Pieces",
    "PixelModel",
    "Place",
    "PlacedPart",
    "Pour",
    "PreparedSide",
    "Probe",
    "ProbePlan",
    "Rectified",
    "Registered",
    "Registration",
    "RoundSpot",
    "Routed",
    "Ruler",
    "SideMarks",
    "SidePhoto",
    "SideSteps",
    "Stroke",
    "Suggestion",
    "TracedPart",
    "TracedSide",
    "Tracing",
    "Track",
    "TrackMeasure",
    "TrackRules",
    "Truth",
    "View",
    "ViewClasses",
    "Wire",
    "align_back",
    "aligned_to",
    "all_packages",
    "aspect_of_outline",
    "bare_lands",
    "board_from_dict",
    "board_from_layout",
    "board_links",
    "board_mask",
    "board_nets",
    "board_to_dict",
    "by_hand_from_dict",
    "changed_since_found",
    "check_layout",
    "check_photo_file",
    "check_scale",
    "check_unchanged",
    "circuit_parts",
    "classes_in_view",
    "classify",
    "clearance",
    "click_span",
    "coarse_photos",
    "conductors_of",
    "contradictions",
    "copper_of_prepared",
    "copper_of_side",
    "copper_resistivity",
    "copper_truth",
    "counted_grooves",
    "creepage",
    "doubtful_joins",
    "doubtful_necks",
    "edge_uncertainty_of",
    "find_outline",
    "find_round_spots",
    "first_guess",
    "flat_field",
    "follow_copper",
    "glare_free",
    "halving_probe",
    "holes_of_spots",
    "ipc_2221_current",
    "island_polygons",
    "lands_of",
    "layout_from_parts",
    "learn",
    "learn_for_view",
    "least_changes",
    "lens_from_edges",
    "links_of_board",
    "measure_track",
    "mosaic",
    "net_distance",
    "nets_from_links",
    "next_steps",
    "outline_polygon",
    "outline_raster",
    "package",
    "pad_corners",
    "painted",
    "photo_of_side",
    "pick_turn",
    "picture_of_alignment",
    "picture_of_classes",
    "picture_of_copper",
    "picture_of_distance",
    "picture_of_nets",
    "picture_of_parts",
    "pictures_of_tracing",
    "piece_polygons",
    "pieces_from_polygons",
    "pieces_of",
    "place_part",
    "plating_of",
    "prepare_for_view",
    "prepare_side",
    "probe_plan",
    "random_layout",
    "read_photo",
    "rectangle",
    "rectify",
    "register_by_outline",
    "register_by_points",
    "register_sides",
    "render_photos",
    "rescaled_by_length",
    "rescaled_by_pitch",
    "round_the_edge",
    "route",
    "row_of_pads",
    "save_picture",
    "shape_on_photo",
    "suggest_parts",
    "trace_board",
    "traced_side",
    "track_part",
    "way_along",
    "with_changes",
    "with_found",
    "with_hand",
    "with_hole",
    "with_parts",
    "with_strokes",
    "without_copper",
]

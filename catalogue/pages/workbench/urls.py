"""Everything under /workbench/."""

from django.urls import URLPattern, URLResolver, path, re_path

from catalogue.photos.files import SIZES_PX

from . import bath_planning, baths, bench, conditions, equipment, pieces, soaks
from .printed import views as printed

app_name = "workbench"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", bench.workbench, name="workbench"),
    path("which/", bench.which, name="which"),
    path("first-aid/", bench.first_aid, name="first_aid"),
    path("due/", bench.due, name="due"),
    path("vessels/", equipment.vessels, name="vessels"),
    path("vessels/new/", equipment.vessel, name="vessel_new"),
    path("vessels/<whole:pk>/", equipment.vessel, name="vessel"),
    path("kit/", equipment.kit, name="kit"),
    path("kit/usual/", equipment.usual, name="kit_usual"),
    path("kit/new/", equipment.tool, name="tool_new"),
    path("kit/<whole:pk>/", equipment.tool, name="tool"),
    path("kit/<whole:pk>/away/", equipment.put_away, name="tool_away"),
    re_path(r"^(?P<what>bath|tool|vessel)/(?P<pk>\d{1,18})/picture/$", equipment.add, name="picture"),
    re_path(
        rf"^pictures/(?P<pk>\d{{1,18}})/(?P<size>{'|'.join(SIZES_PX)})\.jpg$",
        equipment.show_size,
        name="size",
    ),
    path("baths/new/", bath_planning.new, name="bath_new"),
    path("baths/<whole:pk>/", baths.bath, name="bath"),
    path("baths/<whole:pk>/change/", bath_planning.change, name="bath_change"),
    path("baths/<whole:pk>/pieces/", bath_planning.pieces, name="bath_pieces"),
    path("baths/<whole:pk>/note/", bath_planning.note_pieces, name="bath_note"),
    path("baths/<whole:pk>/start/", baths.start, name="bath_start"),
    path("baths/<whole:pk>/look/", baths.look, name="bath_look"),
    path("baths/<whole:pk>/clock/", baths.set_right, name="bath_clock"),
    path("baths/<whole:pk>/out/<whole:member>/", baths.take_out, name="bath_out"),
    path("baths/<whole:pk>/back/<whole:member>/", baths.put_back, name="bath_back"),
    path("baths/<whole:pk>/out/all/", baths.take_all_out, name="bath_all_out"),
    re_path(
        r"^baths/(?P<pk>\d{1,18})/back/all/(?P<members>[0-9-]{1,2000})/$",
        baths.put_all_back,
        name="bath_all_back",
    ),
    path("baths/<whole:pk>/end/", baths.end, name="bath_end"),
    path("soaks/new/", soaks.new, name="soak_new"),
    path("soaks/<whole:pk>/", soaks.soak, name="soak"),
    path("soaks/<whole:pk>/rule/", soaks.rule, name="soak_rule"),
    path("soaks/<whole:pk>/pieces/", soaks.pieces, name="soak_pieces"),
    path("soaks/<whole:pk>/out/<whole:member>/", soaks.take_out, name="soak_out"),
    path("soaks/<whole:pk>/back/<whole:member>/", soaks.put_back, name="soak_back"),
    re_path(
        r"^soaks/(?P<pk>\d{1,18})/back/all/(?P<members>[0-9-]{1,2000})/$",
        soaks.put_all_back,
        name="soak_all_back",
    ),
    path("soaks/<whole:pk>/readings/<whole:reading>/", soaks.reading, name="soak_reading"),
    path("soaks/<whole:pk>/end/", soaks.end, name="soak_end"),
    path("<number:number>/", pieces.piece, name="piece"),
    path("<number:number>/look/", pieces.look, name="look"),
    path("<number:number>/aim/", pieces.aim, name="aim"),
    path("<number:number>/clean/", pieces.clean, name="clean"),
    path("<number:number>/clean/use/", pieces.use, name="use"),
    path("<number:number>/clean/undo/<whole:pk>/", pieces.undo, name="undo"),
    path("<number:number>/clean/finish/", pieces.finish, name="finish"),
    path("<number:number>/growth-kept/", pieces.growth_kept, name="growth_kept"),
    path("<number:number>/stage/", conditions.stage, name="stage"),
    path("<number:number>/stage/undo/<whole:entry>/", conditions.undo_stage, name="stage_undo"),
    path("<number:number>/condition/", conditions.condition, name="condition"),
    path("<number:number>/condition/parts/", conditions.parts, name="condition_parts"),
    path("<number:number>/condition/compare/", conditions.side_by_side, name="compare"),
    path("<number:number>/condition/<whole:pk>/", conditions.condition, name="condition_change"),
    path("<number:number>/treatment/<whole:pk>/", conditions.treatment, name="treatment_change"),
    path("<number:number>/treatment/", conditions.treatment, name="treatment"),
    path("baths/<whole:pk>/sheet.pdf", printed.bath_sheet, name="bath_sheet"),
    path("<number:number>/record/", printed.record, name="treatment_record"),
    path("<number:number>/record.pdf", printed.record_pdf, name="treatment_record_pdf"),
]

"""Everything under /workbench/."""

from django.urls import URLPattern, URLResolver, path, re_path

from catalogue.photos.files import SIZES_PX

from . import bath_plan, bath_run, bench, bench_photos, conditions, finds, kit, pieces, soaks, vessels, which
from .printed import views as printed

app_name = "workbench"
urlpatterns: list[URLPattern | URLResolver] = [
    path("", bench.workbench, name="workbench"),
    path("which/", which.which, name="which"),
    path("first-aid/", which.first_aid, name="first_aid"),
    path("due/", which.due, name="due"),
    path("vessels/", vessels.vessels, name="vessels"),
    path("vessels/new/", vessels.vessel, name="vessel_new"),
    path("vessels/<int:pk>/", vessels.vessel, name="vessel"),
    path("kit/", kit.kit, name="kit"),
    path("kit/usual/", kit.usual, name="kit_usual"),
    path("kit/new/", kit.tool, name="tool_new"),
    path("kit/<int:pk>/", kit.tool, name="tool"),
    path("kit/<int:pk>/away/", kit.put_away, name="tool_away"),
    re_path(r"^(?P<what>bath|tool|vessel)/(?P<pk>\d{1,18})/picture/$", bench_photos.add, name="picture"),
    re_path(
        rf"^pictures/(?P<pk>\d{{1,18}})/(?P<size>{'|'.join(SIZES_PX)})\.jpg$",
        bench_photos.show_size,
        name="size",
    ),
    path("baths/new/", bath_plan.new, name="bath_new"),
    path("baths/<int:pk>/", bath_run.bath, name="bath"),
    path("baths/<int:pk>/change/", bath_plan.change, name="bath_change"),
    path("baths/<int:pk>/pieces/", bath_plan.pieces, name="bath_pieces"),
    path("baths/<int:pk>/note/", bath_plan.note_pieces, name="bath_note"),
    path("baths/<int:pk>/start/", bath_run.start, name="bath_start"),
    path("baths/<int:pk>/look/", bath_run.look, name="bath_look"),
    path("baths/<int:pk>/clock/", bath_run.set_right, name="bath_clock"),
    path("baths/<int:pk>/out/<int:member>/", bath_run.take_out, name="bath_out"),
    path("baths/<int:pk>/end/", bath_run.end, name="bath_end"),
    path("soaks/new/", soaks.new, name="soak_new"),
    path("soaks/<int:pk>/", soaks.soak, name="soak"),
    path("soaks/<int:pk>/rule/", soaks.rule, name="soak_rule"),
    path("soaks/<int:pk>/pieces/", soaks.pieces, name="soak_pieces"),
    path("soaks/<int:pk>/out/<int:member>/", soaks.take_out, name="soak_out"),
    path("soaks/<int:pk>/end/", soaks.end, name="soak_end"),
    path("<number:number>/", pieces.piece, name="piece"),
    path("<number:number>/look/", pieces.look, name="look"),
    path("<number:number>/aim/", pieces.aim, name="aim"),
    path("<number:number>/clean/", pieces.clean, name="clean"),
    path("<number:number>/clean/use/", pieces.use, name="use"),
    path("<number:number>/clean/undo/<int:pk>/", pieces.undo, name="undo"),
    path("<number:number>/clean/finish/", pieces.finish, name="finish"),
    path("<number:number>/growth-kept/", pieces.growth_kept, name="growth_kept"),
    path("<number:number>/stage/", finds.stage, name="stage"),
    path("<number:number>/condition/", finds.condition, name="condition"),
    path("<number:number>/condition/parts/", conditions.parts, name="condition_parts"),
    path("<number:number>/condition/compare/", conditions.side_by_side, name="compare"),
    path("<number:number>/treatment/", finds.treatment, name="treatment"),
    path("baths/<int:pk>/sheet.pdf", printed.bath_sheet, name="bath_sheet"),
    path("<number:number>/record/", printed.record, name="treatment_record"),
    path("<number:number>/record.pdf", printed.record_pdf, name="treatment_record_pdf"),
]

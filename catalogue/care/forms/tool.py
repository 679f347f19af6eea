"""A tool of one's own kit."""

from catalogue.care.models import Tool
from catalogue.common.forms import HouseModelForm


class ToolForm(HouseModelForm):
    class Meta:
        model = Tool
        fields = ("name", "softness", "rough", "where", "bore_from_mm", "bore_to_mm", "how")
        help_texts = {"rough": "Rough ones are not offered on fired, painted or gilt glass."}

"""A limit on what one picture may weigh, kept while it streams in: a huge file never fills the disk."""

from typing import Any

from django.conf import settings
from django.core.files.uploadhandler import FileUploadHandler, SkipFile


class SizeLimit(FileUploadHandler):
    """Skip a file once it passes `UPLOAD_MAX_BYTES`; its name is kept on `request.too_large`.

    The form reads that list and says so beside the picture field; the other files go on.
    """

    def new_file(self, *args: Any, **kwargs: Any) -> None:
        super().new_file(*args, **kwargs)
        self.taken = 0

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes:
        self.taken += len(raw_data)
        if self.taken > settings.UPLOAD_MAX_BYTES:
            vars(self.request).setdefault("too_large", []).append(self.file_name)
            raise SkipFile
        return raw_data

    def file_complete(self, file_size: int) -> None:
        return None

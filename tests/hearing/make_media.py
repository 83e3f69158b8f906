"""Small sound and video files made on the spot."""

import numpy as np


def tone(seconds: float, rate: int = 16_000, pitch: float = 440.0) -> np.ndarray:
    return (0.3 * np.sin(2 * np.pi * pitch * np.arange(int(seconds * rate)) / rate)).astype(np.float32)


def write_media(path, samples=None, codec="pcm_s16le", pictures=0, rate=16_000, pause=(0, 0)):
    """A file with this sound (16 kHz mono) and that many pictures, ten a second, each brighter than the one before.

    `pause`: after so many seconds, nothing is recorded for so long; the time stamps say it.
    """
    import av

    with av.open(str(path), "w") as container:
        video = container.add_stream("mpeg4", rate=10) if pictures else None
        if video:
            video.width, video.height, video.pix_fmt = 64, 48, "yuv420p"
        audio = container.add_stream(codec, rate=rate, layout="mono") if samples is not None else None
        for number in range(pictures):
            picture = np.full((48, 64, 3), 20 + number * 200 // pictures, np.uint8)
            container.mux(video.encode(av.VideoFrame.from_ndarray(picture, "rgb24")))
        if video:
            container.mux(video.encode())
        if audio:
            _write_sound(container, audio, samples, rate, pause)
    return path


def _write_sound(container, audio, samples, rate, pause):
    import av

    resampler = av.AudioResampler(
        format=audio.codec_context.format, layout="mono", rate=rate, frame_size=audio.codec_context.frame_size or 1024
    )
    frame = av.AudioFrame.from_ndarray((samples * 32767).astype(np.int16).reshape(1, -1), format="s16", layout="mono")
    frame.rate = 16_000
    made = 0
    for piece in (*resampler.resample(frame), *resampler.resample(None)):
        piece.pts = made + (pause[1] * rate if made >= pause[0] * rate else 0)
        made += piece.samples
        container.mux(audio.encode(piece))
    container.mux(audio.encode())

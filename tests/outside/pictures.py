#!/usr/bin/env python3
"""Pictures with every kind of metadata, taken out of pages again and read by exiftool.

    pictures.py MATCHMARK

Needs exiftool, Pillow and pillow-heif. Nothing but orientation and colour profile is left,
pixels are equal, and what cannot be published is named and harms nothing.
"""
import base64, io, json, os, re, struct, subprocess, sys, tempfile, time, zlib

import pillow_heif
from PIL import Image, ImageCms, PngImagePlugin

PROGRAM = os.path.abspath(sys.argv[1])
# In every field of metadata, so that one search over the bytes finds what is left.
SECRET = "Zinnober4711"
# What exiftool says about the file itself, its structure and its profile.
STRUCTURE = {"SourceFile", "ExifTool", "System", "File", "PNG", "RIFF", "ICC_Profile", "ICC-header", "JFIF", "Adobe", "APP14"}
PNG_STRUCTURE = {"ImageWidth", "ImageHeight", "BitDepth", "ColorType", "Compression", "Filter", "Interlace", "SRGBRendering", "Gamma",
                 "WhitePointX", "WhitePointY", "RedX", "RedY", "GreenX", "GreenY", "BlueX", "BlueY", "ProfileName", "Transparency",
                 "SignificantBits", "AnimationFrames", "AnimationPlays", "Palette", "BackgroundColor"}

pillow_heif.register_heif_opener()
folder = tempfile.mkdtemp()
journal = os.path.join(folder, "journal")
photos = os.path.join(journal, "photos")


def run(*arguments, code=0, cwd=journal):
    done = subprocess.run([PROGRAM, *arguments], capture_output=True, text=True, cwd=cwd)
    assert done.returncode == code, (arguments, done.returncode, done.stderr)
    return done


def path(name):
    return os.path.join(photos, name)


run("begin", "journal", "--vehicle", "Wren", "--author", "Ada Bench <ada@example.org>", cwd=folder)
os.makedirs(photos, exist_ok=True)

# A picture that compression must not change unseen: a gradient with noise.
base = Image.new("RGB", (64, 48))
base.putdata([((x * 4) % 256, (y * 5) % 256, (x * y * 7) % 256) for y in range(48) for x in range(64)])
standard = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def of_monitor(profile):
    """The profile with what a monitor's own says of it: its name, its maker, its serial number."""
    count = struct.unpack_from(">I", profile, 128)[0]
    tags = [struct.unpack_from(">4sII", profile, 132 + 12 * at) for at in range(count)]
    elements = [(name, profile[start:start + length]) for name, start, length in tags]
    letters = SECRET.encode("utf-16-be")
    said = b"mluc\0\0\0\0" + struct.pack(">II4sII", 1, 12, b"enUS", len(letters), 28) + letters
    plain = b"text\0\0\0\0" + SECRET.encode() + b"\0"
    elements = [(name, said if name == b"desc" else element) for name, element in elements]
    elements += [(b"dscm", said), (b"mmod", plain), (b"dmnd", said), (b"dmdd", said), (b"targ", plain), (b"meta", plain), (b"vcgt", plain)]
    table, body = b"", b""
    for name, element in elements:
        table += struct.pack(">4sII", name, 132 + 12 * len(elements) + len(body), len(element))
        body += element + bytes(-len(element) % 4)
    header = profile[4:48] + b"ZinnOber" + profile[56:80] + b"Zinn" + profile[84:128]
    return struct.pack(">I", 132 + len(table) + len(body)) + header + struct.pack(">I", len(elements)) + table + body


profile = of_monitor(standard)
assert ImageCms.ImageCmsProfile(io.BytesIO(profile)).profile.profile_description == SECRET

base.save(path("plain.jpg"), quality=92, icc_profile=profile, comment=SECRET)
base.save(path("progressive.jpg"), quality=92, progressive=True)
base.save(path("restarts.jpg"), quality=92, restart_marker_rows=1)
base.convert("CMYK").save(path("cmyk.jpg"), quality=92)
base.convert("L").save(path("grey.jpg"), quality=92)
text = PngImagePlugin.PngInfo()
text.add_text("Comment", SECRET)
text.add_text("Serial", SECRET, zip=True)
text.add_itxt("Artist", SECRET)
base.save(path("plain.png"), icc_profile=profile, pnginfo=text)
base.convert("P").save(path("palette.png"), transparency=3)
base.convert("I;16").save(path("sixteen.png"))
frames = [base, base.rotate(90, expand=False)]
base.save(path("moving.png"), save_all=True, append_images=frames[1:], pnginfo=text)
base.save(path("plain.webp"), quality=90, icc_profile=profile)
base.save(path("lossless.webp"), lossless=True)
base.convert("RGBA").save(path("alpha.webp"), quality=90)
base.save(path("moving.webp"), save_all=True, append_images=frames[1:])
base.save(path("phone.heic"), quality=90)
base.resize((4032, 3024)).save(path("large.heic"), quality=50)
large = base.resize((4032, 3024), Image.Resampling.BICUBIC)
large.save(path("large.jpg"), quality=90, icc_profile=profile)
large.save(path("large-progressive.jpg"), quality=90, progressive=True, subsampling=0)
large.save(path("large-rgb.jpg"), quality=90, keep_rgb=True)
large.convert("L").save(path("large-grey.jpg"), quality=90)

made = sorted(os.listdir(photos))
thumbnail = os.path.join(folder, "thumbnail.jpg")
base.resize((16, 12)).save(thumbnail)
# A PNG or WebP has no thumbnail; what a format cannot hold exiftool leaves out with a warning.
tags = ["-GPSLatitude=52.5", "-GPSLatitudeRef=N", "-GPSLongitude=13.4", "-GPSLongitudeRef=E", "-GPSAltitude=34",
        f"-Make={SECRET}", f"-Model={SECRET}", f"-SerialNumber={SECRET}", f"-LensSerialNumber={SECRET}", f"-Artist={SECRET}",
        f"-Copyright={SECRET}", f"-ImageDescription={SECRET}", f"-UserComment={SECRET}", f"-OwnerName={SECRET}", f"-Software={SECRET}",
        "-DateTimeOriginal=2026:03:14 21:19:26", "-OffsetTimeOriginal=+01:00", f"-ImageUniqueID={SECRET}",
        f"-XMP-dc:Creator={SECRET}", f"-XMP-aux:SerialNumber={SECRET}", "-XMP-exif:GPSLatitude=52.5", f"-XMP-photoshop:City={SECRET}",
        f"-IPTC:City={SECRET}", f"-IPTC:By-line={SECRET}", f"-Comment={SECRET}", f"-Photoshop:PhotoshopQuality=5"]
subprocess.run(["exiftool", "-q", "-q", "-m", "-overwrite_original", *tags, f"-ThumbnailImage<={thumbnail}", "-Orientation#=6",
                *[path(name) for name in made]], capture_output=True)
# Maker's notes as cameras write them: a block that only their maker understands.
with open(path("plain.jpg"), "rb") as file:
    plain = file.read()
notes = (SECRET * 40).encode()
block = b"MM\0*\0\0\0\x08" + struct.pack(">H", 1) + struct.pack(">HHII", 0x8769, 4, 1, 26) + struct.pack(">I", 0)
block += struct.pack(">H", 1) + struct.pack(">HHII", 0x927C, 7, len(notes), 44) + struct.pack(">I", 0) + notes


def segment(marker, payload):
    return struct.pack(">BBH", 0xFF, marker, len(payload) + 2) + payload


extra = b"".join([
    segment(0xE1, b"Exif\0\0" + block), segment(0xE0, b"JFXX\0\x10" + notes), segment(0xE2, b"MPF\0MM\0*" + notes), segment(0xE3, b"Meta\0\0" + notes),
    segment(0xE5, notes), segment(0xEB, b"JP\0\x01\0\0\0\x01jumb" + notes), segment(0xEC, b"Ducky" + notes), segment(0xEF, notes), segment(0xFE, notes)])
with open(path("notes.jpg"), "wb") as file:
    file.write(plain[:2] + extra + plain[2:] + plain + notes)
with open(path("trailer.png"), "wb") as file:
    file.write(open(path("plain.png"), "rb").read() + notes)
with open(path("trailer.webp"), "wb") as file:
    file.write(open(path("plain.webp"), "rb").read() + notes)
# Called what it is not.
with open(path("called.png"), "wb") as file:
    file.write(plain)
made = sorted(os.listdir(photos))
hidden = [name for name in made if SECRET.encode() in open(path(name), "rb").read()]
assert len(hidden) >= 14, hidden


def chunk(kind, payload):
    return struct.pack(">I", len(payload)) + kind + payload + struct.pack(">I", zlib.crc32(kind + payload))


# Forty that are harmful or broken.
bomb = b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", 100_000, 100_000, 1, 0, 0, 0, 0)) + chunk(b"IDAT", zlib.compress(bytes(10_000_000))) + chunk(b"IEND", b"")
hostile = {"bomb.png": bomb, "bomb.webp": b"RIFF\x16\0\0\0WEBPVP8X\x0a\0\0\0\0\0\0\0\xff\xff\xff\xff\xff\xff", "bomb2.webp": b"RIFF\x12\0\0\0WEBPVP8L\x05\0\0\0\x2f\xff\xff\xff\xff\0",
           "empty.jpg": b"", "text.jpg": b"<script>alert(1)</script>", "drawing.png": b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>",
           "start.jpg": b"\xff\xd8\xff", "moving.gif": b"GIF89a", "called.jpg": b"GIF89a", "raw.jpg": b"II*\0\x08\0\0\0", "lies.webp": b"RIFF\xff\xff\xff\xffWEBPVP8 ",
           "lies.png": b"\x89PNG\r\n\x1a\n\xff\xff\xff\xffIHDR", "lies.jpg": b"\xff\xd8\xff\xe1\xff\xff", "short.heic": b"\0\0\0\x18ftypheic", "film.jpg": b"\0\0\0\x14ftypqt  \0\0\0\0qt  ",
           "avif.avif": b"\0\0\0\x1cftypavif\0\0\0\0avifmif1"}
heic = open(path("phone.heic"), "rb").read()
for part in range(1, 9):
    hostile[f"cut{part}.jpg"] = plain[:len(plain) * part // 9]
    hostile[f"cut{part}.heic"] = heic[:len(heic) * part // 9]
for part in range(1, 5):
    hostile[f"cut{part}.png"] = open(path("plain.png"), "rb").read()[:-part * 40]
    hostile[f"cut{part}.webp"] = open(path("lossless.webp"), "rb").read()[:-part * 40]
for name, content in hostile.items():
    with open(path(name), "wb") as file:
        file.write(content)
hostile["long.jpg"] = b""
with open(path("long.jpg"), "wb") as file:
    file.truncate(200_000_000)
assert len(hostile) >= 40

with open(os.path.join(journal, "entries", "2026-03-14-tank.md"), "w") as file:
    file.write("---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# Tank\n\n## Tank\n\n- status: removed\n")
    file.writelines(f"- photo: photos/{name}\n" for name in [*made, *hostile])
    file.write("\nThe tank came down on the jack and slid off the cushion, and I caught it with my knees.\n")

began = time.monotonic()
for arguments in (["recap", "--vehicle", "wren", "--as", "article"], ["refit", "--as", "page"]):
    done = run(*arguments)
    page = done.stdout
    assert SECRET not in page
    shown = [(media, base64.b64decode(content)) for media, content in re.findall(r'src="data:([a-z/]+);base64,([^"]*)"', page)]
    assert len(shown) == len(made), (len(shown), len(made), done.stderr)
    for name in hostile:
        assert f"photos/{name}: " in re.sub(r"\s+", " ", done.stderr), (name, done.stderr)
seconds = time.monotonic() - began

left = os.path.join(folder, "left")
os.makedirs(left)
for name, (media, content) in zip(made, shown):
    ending = media.split("/")[1]
    with open(os.path.join(left, f"{name}.{ending}"), "wb") as file:
        file.write(content)
    assert SECRET.encode() not in content, name
    was, now = Image.open(path(name)), Image.open(io.BytesIO(content))
    is_scaled = name.startswith("large")
    if is_scaled and not name.endswith(".heic"):
        assert now.getexif().get(0x112) == was.getexif().get(0x112) == 6 and now.mode == was.mode, name
        assert ("icc_profile" in now.info) == ("icc_profile" in was.info), name
        assert len(content) < os.path.getsize(path(name)), name
    if not name.endswith(".heic") and not is_scaled:
        assert now.n_frames == was.n_frames if hasattr(was, "n_frames") and was.format != "MPO" else True, name
        assert now.size == was.size and now.mode == was.mode and now.tobytes() == was.tobytes(), name
        for at in range(getattr(now, "n_frames", 1)):
            was.seek(at), now.seek(at)
            assert was.tobytes() == now.tobytes(), (name, at)
        profiles = [picture.info.get("icc_profile") for picture in (was, now)]
        assert (profiles[0] is None) == (profiles[1] is None), name
        if profiles[0] is not None:
            assert not any(said in profiles[1] for said in (SECRET.encode(), SECRET.encode("utf-16-be"), b"Zinn")), name
            ways = [ImageCms.buildTransform(io.BytesIO(own), ImageCms.createProfile("LAB"), "RGB", "LAB") for own in profiles]
            colours = [ImageCms.applyTransform(base, way).tobytes() for way in ways]
            assert colours[0] == colours[1], (name, "colours")
        assert now.getexif().get(0x112) == was.getexif().get(0x112), (name, "orientation")
        assert was.format.replace("MPO", "JPEG") == now.format
    else:
        # Decoded by another decoder and made smaller: the same colours, nearly.
        pillow, ours = was.convert("RGB").resize((16, 12)).tobytes(), now.convert("RGB").resize((16, 12)).tobytes()
        far = sum(abs(a - b) for a, b in zip(pillow, ours)) / len(ours)
        assert far < 4, (name, far)
        assert max(now.size) <= 2048 and abs(now.width / now.height - was.width / was.height) < 0.01, (was.size, now.size)

read = json.loads(subprocess.run(["exiftool", "-j", "-G1", "-a", "-u", "-U", "-ee", left], capture_output=True, text=True, check=True).stdout)
assert len(read) == len(made)
for one in read:
    for tag, value in one.items():
        group, _, key = tag.rpartition(":")
        group = group or key
        fine = group in STRUCTURE and (group != "PNG" or key in PNG_STRUCTURE)
        fine |= group == "IFD0" and key == "Orientation" or group.startswith("ICC")
        fine |= key == "ExifByteOrder" or tag == "ExifTool:Warning" and "ICC" in value
        fine |= tag in ("Composite:ImageSize", "Composite:Megapixels")
        assert fine and key not in ("Comment", "MakeAndModel"), (one["SourceFile"], tag, value)
        assert SECRET not in str(value) and "Zinn" not in str(value), (one["SourceFile"], tag, value)
print(f"{len(made)} pictures tell nothing more, {len(hostile)} are named and not shown, both pages in {seconds:.1f} s")

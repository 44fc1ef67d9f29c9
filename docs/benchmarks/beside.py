# The scene of BenchmarkBeside (engine/render/beside_test.go) in Blender, whose
# path tracer is a free one made for production:
#
#     blender --background --factory-startup --python docs/benchmarks/beside.py -- 16 64 256
#
# For each number of paths a pixel it renders two seeds on two threads, with no
# filter and no adaptive sampling, and prints wall and processor time of one
# picture, its noise and its mean. Noise is the root mean square of the
# difference of the two, in stops, over the square root of 2, in the lower 140
# rows: plane and sphere, no sky.
import math, os, resource, sys, tempfile, time
import bpy, mathutils, numpy

scene = bpy.context.scene
for o in list(bpy.data.objects):
    bpy.data.objects.remove(o)


def matt(thing, reflectance):
    m = bpy.data.materials.new("matt")
    m.use_nodes = True
    nodes = m.node_tree.nodes
    nodes.clear()
    diffuse, out = nodes.new("ShaderNodeBsdfDiffuse"), nodes.new("ShaderNodeOutputMaterial")
    diffuse.inputs["Color"].default_value = (reflectance,) * 3 + (1,)
    m.node_tree.links.new(diffuse.outputs[0], out.inputs[0])
    thing.data.materials.append(m)


def aim(thing, at):
    thing.rotation_euler = (mathutils.Vector(at) - thing.location).to_track_quat("-Z", "Y").to_euler()


bpy.ops.mesh.primitive_plane_add(size=200)
matt(bpy.context.object, 0.2)
bpy.ops.mesh.primitive_uv_sphere_add(segments=64, ring_count=32, radius=1, location=(0, 0, 1))
bpy.ops.object.shade_smooth()
matt(bpy.context.object, 0.5)
bpy.ops.object.light_add(type="SUN", rotation=(math.radians(45), 0, math.radians(30)))
bpy.context.object.data.energy, bpy.context.object.data.angle = 3, 2 * math.radians(959.63 / 3600)
bpy.ops.object.light_add(type="AREA", location=(2.5, -2.5, 2.5))
disc = bpy.context.object
disc.data.shape, disc.data.size, disc.data.energy = "DISK", 0.6, 200
aim(disc, (0, 0, 1))
world = bpy.data.worlds.new("sky")
scene.world = world
world.use_nodes = True
world.node_tree.nodes["Background"].inputs[0].default_value = (1, 1, 1, 1)
world.node_tree.nodes["Background"].inputs[1].default_value = 0.3
bpy.ops.object.camera_add(location=(0, -6, 1.2))
scene.camera = bpy.context.object
scene.camera.data.lens = 35
aim(scene.camera, (0, 0, 1))

r, c = scene.render, scene.cycles
r.engine, c.device, r.threads_mode, r.threads = "CYCLES", "CPU", "FIXED", 2
r.resolution_x, r.resolution_y, r.resolution_percentage = 480, 320, 100
c.use_adaptive_sampling = c.use_denoising = False
c.pixel_filter_type, c.max_bounces, c.diffuse_bounces = "BOX", 8, 8
r.image_settings.file_format, r.image_settings.color_depth = "OPEN_EXR", "32"
scene.view_settings.view_transform = "Raw"


def used():
    u = resource.getrusage(resource.RUSAGE_SELF)
    return u.ru_utime + u.ru_stime


with tempfile.TemporaryDirectory() as folder:
    for n in map(int, sys.argv[sys.argv.index("--") + 1:]):
        c.samples = n
        films, wall, cpu = [], [], []
        for seed in (1, 2):
            c.seed, r.filepath = seed, os.path.join(folder, "%d-%d.exr" % (n, seed))
            t, u = time.time(), used()
            bpy.ops.render.render(write_still=True)
            wall.append(time.time() - t)
            cpu.append(used() - u)
            pixels = numpy.array(bpy.data.images.load(r.filepath).pixels[:]).reshape(320, 480, 4)
            films.append(pixels[:140, :, :3] @ numpy.array([0.2126, 0.7152, 0.0722]))
        lit = (films[0] > 0) & (films[1] > 0)
        d = numpy.log2(films[0][lit] / films[1][lit])
        print("BESIDE %d paths: %.3f s, %.3f s of processor time, noise %.4f stop, mean %.4f" % (n, min(wall), min(cpu), math.sqrt((d * d).mean() / 2), films[0].mean()))

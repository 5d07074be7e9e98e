BEGIN TRANSACTION;
CREATE TABLE absorber (
	id INTEGER NOT NULL, 
	room_id INTEGER NOT NULL, 
	name TEXT NOT NULL, 
	area_m2 TEXT NOT NULL, 
	count INTEGER NOT NULL, 
	CONSTRAINT pk_absorber PRIMARY KEY (id), 
	CONSTRAINT ck_absorber_area_m2_json CHECK (area_m2 IS NULL OR json_valid(area_m2)), 
	CONSTRAINT ck_absorber_count CHECK (count >= 0), 
	CONSTRAINT fk_absorber_room_id FOREIGN KEY(room_id) REFERENCES room (id)
)
 STRICT

;
INSERT INTO "absorber" VALUES(1,1,'desk, chair and one person','[0.25, 0.4, 0.5, 0.5, 0.5, 0.5]',1);
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0001');
CREATE TABLE bay (
	id INTEGER NOT NULL, 
	plane_id INTEGER NOT NULL, 
	phase_id INTEGER NOT NULL, 
	build_up_id INTEGER NOT NULL, 
	name TEXT NOT NULL, 
	outline TEXT NOT NULL, 
	CONSTRAINT pk_bay PRIMARY KEY (id), 
	CONSTRAINT ck_bay_outline_json CHECK (outline IS NULL OR json_valid(outline)), 
	CONSTRAINT fk_bay_build_up_id FOREIGN KEY(build_up_id) REFERENCES build_up (id), 
	CONSTRAINT fk_bay_phase_id FOREIGN KEY(phase_id) REFERENCES phase (id), 
	CONSTRAINT fk_bay_plane_id FOREIGN KEY(plane_id) REFERENCES plane (id), 
	CONSTRAINT uq_bay_plane_id_name UNIQUE (plane_id, name)
)
 STRICT

;
INSERT INTO "bay" VALUES(1,1,1,1,'left','[[200000, 200000], [1700000, 200000], [1700000, 2030000], [200000, 2450000]]');
INSERT INTO "bay" VALUES(2,1,1,1,'right','[[1700000, 200000], [3200000, 200000], [3200000, 1610000], [1700000, 2030000]]');
INSERT INTO "bay" VALUES(3,2,2,1,'left','[[200000, 200000], [1700000, 200000], [1700000, 2400000], [200000, 2400000]]');
INSERT INTO "bay" VALUES(4,2,2,1,'window','[[1700000, 200000], [3250000, 200000], [3250000, 2400000], [1700000, 2400000]]');
INSERT INTO "bay" VALUES(5,2,2,1,'right','[[3257288, 200000], [4757288, 200000], [4740997, 2402940], [3250000, 2399988]]');
INSERT INTO "bay" VALUES(6,3,3,2,'near','[[350000, 1000000], [1850000, 1000000], [1850000, 2500000], [350000, 2500000]]');
INSERT INTO "bay" VALUES(7,3,3,2,'mid','[[1850000, 1000000], [3350000, 1000000], [3350000, 2500000], [1850000, 2500000]]');
INSERT INTO "bay" VALUES(8,3,3,2,'far','[[3350000, 1000000], [4850000, 1000000], [4850000, 2500000], [3350000, 2500000]]');
INSERT INTO "bay" VALUES(9,4,4,1,'beside door','[[700000, 200000], [2200000, 200000], [2200000, 2020000], [700000, 1600000]]');
INSERT INTO "bay" VALUES(10,7,4,3,'main','[[0, 0], [1800000, 0], [1800000, 1200000], [0, 1200000]]');
CREATE TABLE build_up (
	id INTEGER NOT NULL, 
	name TEXT NOT NULL, 
	gap_um INTEGER NOT NULL, 
	infill_id INTEGER NOT NULL, 
	fabric_id INTEGER, 
	edge_id INTEGER, 
	joint_id INTEGER, 
	alpha TEXT, 
	CONSTRAINT pk_build_up PRIMARY KEY (id), 
	CONSTRAINT ck_build_up_alpha_json CHECK (alpha IS NULL OR json_valid(alpha)), 
	CONSTRAINT ck_build_up_gap CHECK (gap_um >= 0), 
	CONSTRAINT fk_build_up_edge_id FOREIGN KEY(edge_id) REFERENCES item (id), 
	CONSTRAINT fk_build_up_fabric_id FOREIGN KEY(fabric_id) REFERENCES item (id), 
	CONSTRAINT fk_build_up_infill_id FOREIGN KEY(infill_id) REFERENCES item (id), 
	CONSTRAINT fk_build_up_joint_id FOREIGN KEY(joint_id) REFERENCES item (id), 
	CONSTRAINT uq_build_up_name UNIQUE (name)
)
 STRICT

;
INSERT INTO "build_up" VALUES(1,'wall 50',0,1,7,3,4,NULL);
INSERT INTO "build_up" VALUES(2,'slope 100',0,2,7,5,6,NULL);
INSERT INTO "build_up" VALUES(3,'cloud 100',200000,2,7,5,NULL,NULL);
CREATE TABLE change (
	id INTEGER NOT NULL, 
	operation_id INTEGER NOT NULL, 
	table_name TEXT NOT NULL, 
	row_id INTEGER NOT NULL, 
	"before" TEXT, 
	"after" TEXT, 
	CONSTRAINT pk_change PRIMARY KEY (id), 
	CONSTRAINT ck_change_after_json CHECK (after IS NULL OR json_valid(after)), 
	CONSTRAINT ck_change_some_image CHECK (before IS NOT NULL OR after IS NOT NULL), 
	CONSTRAINT ck_change_before_json CHECK (before IS NULL OR json_valid(before)), 
	CONSTRAINT fk_change_operation_id FOREIGN KEY(operation_id) REFERENCES operation (id)
)
 STRICT

;
INSERT INTO "change" VALUES(1,1,'entry',1,NULL,'{"id": 1, "bay_id": null, "task_id": 1, "step": null, "done": 1.0, "hours_h": 1.3333333333333333, "note": "Licensed help for the socket; extender fitted, photo taken.", "lesson": "", "on_date": "2026-11-03", "written": "2026-11-25T15:58:51+00:00", "corrects_id": null}');
INSERT INTO "change" VALUES(2,2,'entry',2,NULL,'{"id": 2, "bay_id": 1, "task_id": null, "step": "set-out", "done": 1.0, "hours_h": 0.6666666666666666, "note": "Line of the slope chalked at 150 below the roof.", "lesson": "", "on_date": "2026-11-03", "written": "2026-11-25T15:58:51+00:00", "corrects_id": null}');
INSERT INTO "change" VALUES(3,3,'entry',3,NULL,'{"id": 3, "bay_id": 1, "task_id": null, "step": "track", "done": 1.0, "hours_h": 2.25, "note": "Mitres at the slope are not 45: bevel set to half the angle.", "lesson": "Take the angle with the bevel before the first mitre.", "on_date": "2026-11-05", "written": "2026-11-25T15:58:51+00:00", "corrects_id": null}');
INSERT INTO "change" VALUES(4,3,'movement',9,NULL,'{"id": 9, "item_id": 3, "kind": "use", "quantity_u": -3000000, "on_date": "2026-11-05", "due": null, "lot": null, "note": "", "entry_id": 3, "position": 11, "superseded": 0}');
INSERT INTO "change" VALUES(5,3,'movement',10,NULL,'{"id": 10, "item_id": 4, "kind": "use", "quantity_u": -1000000, "on_date": "2026-11-05", "due": null, "lot": null, "note": "", "entry_id": 3, "position": 11, "superseded": 0}');
INSERT INTO "change" VALUES(6,3,'movement',11,NULL,'{"id": 11, "item_id": 8, "kind": "use", "quantity_u": -48000000, "on_date": "2026-11-05", "due": null, "lot": null, "note": "", "entry_id": 3, "position": 11, "superseded": 0}');
INSERT INTO "change" VALUES(7,3,'cut',1,NULL,'{"id": 1, "entry_id": 3, "bay_id": 1, "step": "track", "piece": "west/left E3", "outline": null, "length_um": 2250000}');
INSERT INTO "change" VALUES(8,3,'cut',2,NULL,'{"id": 2, "entry_id": 3, "bay_id": 1, "step": "track", "piece": "west/left E2", "outline": null, "length_um": 1557691}');
INSERT INTO "change" VALUES(9,3,'cut',3,NULL,'{"id": 3, "entry_id": 3, "bay_id": 1, "step": "track", "piece": "west/left E1", "outline": null, "length_um": 1500000}');
INSERT INTO "change" VALUES(10,3,'cut',4,NULL,'{"id": 4, "entry_id": 3, "bay_id": 1, "step": "track", "piece": "west/left J1", "outline": null, "length_um": 1830000}');
INSERT INTO "change" VALUES(11,3,'offcut',1,NULL,'{"id": 1, "item_id": 3, "length_um": 747000, "width_um": null, "made_entry_id": 3, "used_entry_id": null}');
INSERT INTO "change" VALUES(12,3,'offcut',2,NULL,'{"id": 2, "item_id": 3, "length_um": 1439309, "width_um": null, "made_entry_id": 3, "used_entry_id": null}');
INSERT INTO "change" VALUES(13,3,'offcut',3,NULL,'{"id": 3, "item_id": 3, "length_um": 1497000, "width_um": null, "made_entry_id": 3, "used_entry_id": null}');
INSERT INTO "change" VALUES(14,3,'offcut',4,NULL,'{"id": 4, "item_id": 4, "length_um": 1167000, "width_um": null, "made_entry_id": 3, "used_entry_id": null}');
INSERT INTO "change" VALUES(15,4,'entry',4,NULL,'{"id": 4, "bay_id": 1, "task_id": null, "step": "infill", "done": 1.0, "hours_h": 1.8333333333333333, "note": "Cut one board 20 short along the slope: read the wrong side of the tape.", "lesson": "Mark each piece with its name and which way is up before cutting.", "on_date": "2026-11-07", "written": "2026-11-25T15:58:51+00:00", "corrects_id": null}');
INSERT INTO "change" VALUES(16,4,'movement',12,NULL,'{"id": 12, "item_id": 1, "kind": "use", "quantity_u": -5000000, "on_date": "2026-11-07", "due": null, "lot": null, "note": "", "entry_id": 4, "position": 12, "superseded": 0}');
INSERT INTO "change" VALUES(17,4,'movement',13,NULL,'{"id": 13, "item_id": 1, "kind": "spoil", "quantity_u": -1000000, "on_date": "2026-11-07", "due": null, "lot": null, "note": "", "entry_id": 4, "position": 12, "superseded": 0}');
INSERT INTO "change" VALUES(18,4,'cut',5,NULL,'{"id": 5, "entry_id": 4, "bay_id": 1, "step": "infill", "piece": "west/left 1", "outline": "[[212000, 212000], [812000, 212000], [812000, 1412000], [212000, 1412000]]", "length_um": null}');
INSERT INTO "change" VALUES(19,4,'cut',6,NULL,'{"id": 6, "entry_id": 4, "bay_id": 1, "step": "infill", "piece": "west/left 2", "outline": "[[812000, 212000], [1412000, 212000], [1412000, 1412000], [812000, 1412000]]", "length_um": null}');
INSERT INTO "change" VALUES(20,4,'cut',7,NULL,'{"id": 7, "entry_id": 4, "bay_id": 1, "step": "infill", "piece": "west/left 3", "outline": "[[1412000, 212000], [1693000, 212000], [1693000, 1412000], [1412000, 1412000]]", "length_um": null}');
INSERT INTO "change" VALUES(21,4,'cut',8,NULL,'{"id": 8, "entry_id": 4, "bay_id": 1, "step": "infill", "piece": "west/left 6", "outline": "[[1412000, 1412000], [1693000, 1412000], [1693000, 2019498], [1412000, 2098178]]", "length_um": null}');
INSERT INTO "change" VALUES(22,4,'cut',9,NULL,'{"id": 9, "entry_id": 4, "bay_id": 1, "step": "infill", "piece": "west/left 4", "outline": "[[212000, 1412000], [812000, 1412000], [812000, 2266178], [212000, 2434178]]", "length_um": null}');
INSERT INTO "change" VALUES(23,4,'cut',10,NULL,'{"id": 10, "entry_id": 4, "bay_id": 1, "step": "infill", "piece": "west/left 5", "outline": "[[812000, 1412000], [1412000, 1412000], [1412000, 2098178], [812000, 2266178]]", "length_um": null}');
INSERT INTO "change" VALUES(24,4,'offcut',5,NULL,'{"id": 5, "item_id": 1, "length_um": 510821, "width_um": 316000, "made_entry_id": 4, "used_entry_id": null}');
INSERT INTO "change" VALUES(25,4,'offcut',6,NULL,'{"id": 6, "item_id": 1, "length_um": 600000, "width_um": 174822, "made_entry_id": 4, "used_entry_id": null}');
INSERT INTO "change" VALUES(26,4,'offcut',7,NULL,'{"id": 7, "item_id": 1, "length_um": 600000, "width_um": 342822, "made_entry_id": 4, "used_entry_id": null}');
INSERT INTO "change" VALUES(27,5,'entry',5,NULL,'{"id": 5, "bay_id": 1, "task_id": null, "step": "fabric", "done": 1.0, "hours_h": 1.5, "note": "", "lesson": "", "on_date": "2026-11-07", "written": "2026-11-25T15:58:51+00:00", "corrects_id": null}');
INSERT INTO "change" VALUES(28,5,'movement',14,NULL,'{"id": 14, "item_id": 7, "kind": "use", "quantity_u": -2370000, "on_date": "2026-11-07", "due": null, "lot": null, "note": "", "entry_id": 5, "position": 13, "superseded": 0}');
INSERT INTO "change" VALUES(29,5,'cut',11,NULL,'{"id": 11, "entry_id": 5, "bay_id": 1, "step": "fabric", "piece": "west/left", "outline": null, "length_um": 2370000}');
INSERT INTO "change" VALUES(30,6,'entry',6,NULL,'{"id": 6, "bay_id": 2, "task_id": null, "step": "track", "done": 1.0, "hours_h": 1.4166666666666667, "note": "", "lesson": "", "on_date": "2026-11-07", "written": "2026-11-25T15:58:51+00:00", "corrects_id": null}');
INSERT INTO "change" VALUES(31,6,'movement',15,NULL,'{"id": 15, "item_id": 3, "kind": "use", "quantity_u": -2000000, "on_date": "2026-11-07", "due": null, "lot": null, "note": "", "entry_id": 6, "position": 14, "superseded": 0}');
INSERT INTO "change" VALUES(32,6,'movement',16,NULL,'{"id": 16, "item_id": 8, "kind": "use", "quantity_u": -30000000, "on_date": "2026-11-07", "due": null, "lot": null, "note": "", "entry_id": 6, "position": 14, "superseded": 0}');
INSERT INTO "change" VALUES(33,6,'cut',12,NULL,'{"id": 12, "entry_id": 6, "bay_id": 2, "step": "track", "piece": "west/right E2", "outline": null, "length_um": 1410000}');
INSERT INTO "change" VALUES(34,6,'cut',13,NULL,'{"id": 13, "entry_id": 6, "bay_id": 2, "step": "track", "piece": "west/right E3", "outline": null, "length_um": 1557691}');
INSERT INTO "change" VALUES(35,6,'cut',14,NULL,'{"id": 14, "entry_id": 6, "bay_id": 2, "step": "track", "piece": "west/right E1", "outline": null, "length_um": 1500000}');
INSERT INTO "change" VALUES(36,6,'offcut',8,NULL,'{"id": 8, "item_id": 3, "length_um": 1439309, "width_um": null, "made_entry_id": 6, "used_entry_id": null}');
INSERT INTO "change" VALUES(37,6,'offcut',9,NULL,'{"id": 9, "item_id": 3, "length_um": 1497000, "width_um": null, "made_entry_id": 6, "used_entry_id": null}');
INSERT INTO "change" VALUES(38,6,'offcut',2,'{"id": 2, "item_id": 3, "length_um": 1439309, "width_um": null, "made_entry_id": 3, "used_entry_id": null}','{"id": 2, "item_id": 3, "length_um": 1439309, "width_um": null, "made_entry_id": 3, "used_entry_id": 6}');
INSERT INTO "change" VALUES(39,7,'movement',17,NULL,'{"id": 17, "item_id": 1, "kind": "order", "quantity_u": 24000000, "on_date": "2026-11-08", "due": "2026-11-13", "lot": null, "note": "", "entry_id": null, "position": 15, "superseded": 0}');
INSERT INTO "change" VALUES(40,8,'entry',7,NULL,'{"id": 7, "bay_id": 2, "task_id": null, "step": "infill", "done": 1.0, "hours_h": 1.1666666666666667, "note": "Last two boards used the offcuts of the left bay.", "lesson": "", "on_date": "2026-11-10", "written": "2026-11-25T15:58:51+00:00", "corrects_id": null}');
INSERT INTO "change" VALUES(41,8,'movement',18,NULL,'{"id": 18, "item_id": 1, "kind": "use", "quantity_u": -4000000, "on_date": "2026-11-10", "due": null, "lot": null, "note": "", "entry_id": 7, "position": 16, "superseded": 0}');
INSERT INTO "change" VALUES(42,8,'cut',15,NULL,'{"id": 15, "entry_id": 7, "bay_id": 2, "step": "infill", "piece": "west/right 2", "outline": "[[1988000, 212000], [2588000, 212000], [2588000, 1412000], [1988000, 1412000]]", "length_um": null}');
INSERT INTO "change" VALUES(43,8,'cut',16,NULL,'{"id": 16, "entry_id": 7, "bay_id": 2, "step": "infill", "piece": "west/right 3", "outline": "[[2588000, 212000], [3188000, 212000], [3188000, 1412000], [2588000, 1412000]]", "length_um": null}');
INSERT INTO "change" VALUES(44,8,'cut',17,NULL,'{"id": 17, "entry_id": 7, "bay_id": 2, "step": "infill", "piece": "west/right 1", "outline": "[[1707000, 212000], [1988000, 212000], [1988000, 1412000], [1707000, 1412000]]", "length_um": null}');
INSERT INTO "change" VALUES(45,8,'cut',18,NULL,'{"id": 18, "entry_id": 7, "bay_id": 2, "step": "infill", "piece": "west/right 4", "outline": "[[1707000, 1412000], [1988000, 1412000], [1988000, 1936898], [1707000, 2015579]]", "length_um": null}');
INSERT INTO "change" VALUES(46,8,'cut',19,NULL,'{"id": 19, "entry_id": 7, "bay_id": 2, "step": "infill", "piece": "west/right 5", "outline": "[[1988000, 1412000], [2588000, 1412000], [2588000, 1768899], [1988000, 1936898]]", "length_um": null}');
INSERT INTO "change" VALUES(47,8,'cut',20,NULL,'{"id": 20, "entry_id": 7, "bay_id": 2, "step": "infill", "piece": "west/right 6", "outline": "[[2588000, 1412000], [3188000, 1412000], [3188000, 1600898], [2588000, 1768899]]", "length_um": null}');
INSERT INTO "change" VALUES(48,8,'offcut',10,NULL,'{"id": 10, "item_id": 1, "length_um": 593421, "width_um": 316000, "made_entry_id": 7, "used_entry_id": null}');
INSERT INTO "change" VALUES(49,8,'offcut',11,NULL,'{"id": 11, "item_id": 1, "length_um": 600000, "width_um": 480086, "made_entry_id": 7, "used_entry_id": null}');
INSERT INTO "change" VALUES(50,9,'entry',8,NULL,'{"id": 8, "bay_id": 2, "task_id": null, "step": "fabric", "done": 1.0, "hours_h": 0.8333333333333334, "note": "", "lesson": "", "on_date": "2026-11-10", "written": "2026-11-25T15:58:51+00:00", "corrects_id": null}');
INSERT INTO "change" VALUES(51,9,'movement',19,NULL,'{"id": 19, "item_id": 7, "kind": "use", "quantity_u": -1950000, "on_date": "2026-11-10", "due": null, "lot": null, "note": "", "entry_id": 8, "position": 17, "superseded": 0}');
INSERT INTO "change" VALUES(52,9,'cut',21,NULL,'{"id": 21, "entry_id": 8, "bay_id": 2, "step": "fabric", "piece": "west/right", "outline": null, "length_um": 1950000}');
INSERT INTO "change" VALUES(53,10,'entry',9,NULL,'{"id": 9, "bay_id": 1, "task_id": null, "step": "make-good", "done": 1.0, "hours_h": 0.3333333333333333, "note": "", "lesson": "", "on_date": "2026-11-12", "written": "2026-11-25T15:58:51+00:00", "corrects_id": null}');
INSERT INTO "change" VALUES(54,11,'entry',10,NULL,'{"id": 10, "bay_id": 2, "task_id": null, "step": "make-good", "done": 1.0, "hours_h": 0.3333333333333333, "note": "Room back in use at nine; the slap behind the desk is gone.", "lesson": "Half an hour of clean-up each evening, not ten minutes.", "on_date": "2026-11-12", "written": "2026-11-25T15:58:51+00:00", "corrects_id": null}');
INSERT INTO "change" VALUES(55,12,'movement',20,NULL,'{"id": 20, "item_id": 1, "kind": "delivery", "quantity_u": 24000000, "on_date": "2026-11-13", "due": null, "lot": null, "note": "", "entry_id": null, "position": 18, "superseded": 0}');
INSERT INTO "change" VALUES(56,13,'entry',11,NULL,'{"id": 11, "bay_id": 3, "task_id": null, "step": "track", "done": 1.0, "hours_h": 1.6666666666666667, "note": "", "lesson": "", "on_date": "2026-11-14", "written": "2026-11-25T15:58:51+00:00", "corrects_id": null}');
INSERT INTO "change" VALUES(57,13,'movement',21,NULL,'{"id": 21, "item_id": 3, "kind": "use", "quantity_u": -3000000, "on_date": "2026-11-14", "due": null, "lot": null, "note": "", "entry_id": 11, "position": 19, "superseded": 0}');
INSERT INTO "change" VALUES(58,13,'movement',22,NULL,'{"id": 22, "item_id": 4, "kind": "use", "quantity_u": -1000000, "on_date": "2026-11-14", "due": null, "lot": null, "note": "", "entry_id": 11, "position": 19, "superseded": 0}');
INSERT INTO "change" VALUES(59,13,'movement',23,NULL,'{"id": 23, "item_id": 8, "kind": "use", "quantity_u": -50000000, "on_date": "2026-11-14", "due": null, "lot": null, "note": "", "entry_id": 11, "position": 19, "superseded": 0}');
INSERT INTO "change" VALUES(60,13,'cut',22,NULL,'{"id": 22, "entry_id": 11, "bay_id": 3, "step": "track", "piece": "high wall/left E3", "outline": null, "length_um": 2200000}');
INSERT INTO "change" VALUES(61,13,'cut',23,NULL,'{"id": 23, "entry_id": 11, "bay_id": 3, "step": "track", "piece": "high wall/left E1", "outline": null, "length_um": 1500000}');
INSERT INTO "change" VALUES(62,13,'cut',24,NULL,'{"id": 24, "entry_id": 11, "bay_id": 3, "step": "track", "piece": "high wall/left E2", "outline": null, "length_um": 1500000}');
INSERT INTO "change" VALUES(63,13,'cut',25,NULL,'{"id": 25, "entry_id": 11, "bay_id": 3, "step": "track", "piece": "high wall/left J1", "outline": null, "length_um": 2200000}');
INSERT INTO "change" VALUES(64,13,'offcut',12,NULL,'{"id": 12, "item_id": 3, "length_um": 797000, "width_um": null, "made_entry_id": 11, "used_entry_id": null}');
INSERT INTO "change" VALUES(65,13,'offcut',13,NULL,'{"id": 13, "item_id": 3, "length_um": 1497000, "width_um": null, "made_entry_id": 11, "used_entry_id": null}');
INSERT INTO "change" VALUES(66,13,'offcut',14,NULL,'{"id": 14, "item_id": 3, "length_um": 1497000, "width_um": null, "made_entry_id": 11, "used_entry_id": null}');
INSERT INTO "change" VALUES(67,13,'offcut',15,NULL,'{"id": 15, "item_id": 4, "length_um": 797000, "width_um": null, "made_entry_id": 11, "used_entry_id": null}');
INSERT INTO "change" VALUES(68,14,'tape',2,NULL,'{"id": 2, "plane_id": null, "bay_id": 3, "fitted": 1, "taken": "2026-11-14", "bottom_um": 1476000, "top_um": 1481000, "left_um": 2176000, "right_um": 2176000, "diagonal_um": 2629000, "check_um": 2632000, "middle_um": null, "centre_um": null}');
INSERT INTO "change" VALUES(69,15,'entry',12,NULL,'{"id": 12, "bay_id": 3, "task_id": null, "step": "infill", "done": 1.0, "hours_h": 1.25, "note": "Opening is 5 wider at the top: cut to the fitted sizes, no gap.", "lesson": "Tape inside the track, never before it.", "on_date": "2026-11-14", "written": "2026-11-25T15:58:51+00:00", "corrects_id": null}');
INSERT INTO "change" VALUES(70,15,'movement',24,NULL,'{"id": 24, "item_id": 1, "kind": "use", "quantity_u": -5000000, "on_date": "2026-11-14", "due": null, "lot": null, "note": "", "entry_id": 12, "position": 20, "superseded": 0}');
INSERT INTO "change" VALUES(71,15,'cut',26,NULL,'{"id": 26, "entry_id": 12, "bay_id": 3, "step": "infill", "piece": "high wall/left 2", "outline": "[[493647, 212000], [1093647, 212000], [1093647, 1412000], [493647, 1412000]]", "length_um": null}');
INSERT INTO "change" VALUES(72,15,'cut',27,NULL,'{"id": 27, "entry_id": 12, "bay_id": 3, "step": "infill", "piece": "high wall/left 3", "outline": "[[1093647, 212000], [1693647, 212000], [1693290, 1412000], [1093647, 1412000]]", "length_um": null}');
INSERT INTO "change" VALUES(73,15,'cut',28,NULL,'{"id": 28, "entry_id": 12, "bay_id": 3, "step": "infill", "piece": "high wall/left 1", "outline": "[[217647, 212000], [493647, 212000], [493647, 1412000], [214533, 1412000]]", "length_um": null}');
INSERT INTO "change" VALUES(74,15,'cut',29,NULL,'{"id": 29, "entry_id": 12, "bay_id": 3, "step": "infill", "piece": "high wall/left 4", "outline": "[[214533, 1412000], [493647, 1412000], [493647, 2387994], [212000, 2387993]]", "length_um": null}');
INSERT INTO "change" VALUES(75,15,'cut',30,NULL,'{"id": 30, "entry_id": 12, "bay_id": 3, "step": "infill", "piece": "high wall/left 6", "outline": "[[1093647, 1412000], [1693290, 1412000], [1693000, 2388000], [1093647, 2387997]]", "length_um": null}');
INSERT INTO "change" VALUES(76,15,'cut',31,NULL,'{"id": 31, "entry_id": 12, "bay_id": 3, "step": "infill", "piece": "high wall/left 5", "outline": "[[493647, 1412000], [1093647, 1412000], [1093647, 2387997], [493647, 2387994]]", "length_um": null}');
INSERT INTO "change" VALUES(77,15,'offcut',16,NULL,'{"id": 16, "item_id": 1, "length_um": 317886, "width_um": 221006, "made_entry_id": 12, "used_entry_id": null}');
INSERT INTO "change" VALUES(78,15,'offcut',17,NULL,'{"id": 17, "item_id": 1, "length_um": 600000, "width_um": 221000, "made_entry_id": 12, "used_entry_id": null}');
INSERT INTO "change" VALUES(79,15,'offcut',18,NULL,'{"id": 18, "item_id": 1, "length_um": 600000, "width_um": 221003, "made_entry_id": 12, "used_entry_id": null}');
INSERT INTO "change" VALUES(80,16,'entry',13,NULL,'{"id": 13, "bay_id": 3, "task_id": null, "step": "fabric", "done": 1.0, "hours_h": 0.9166666666666666, "note": "", "lesson": "", "on_date": "2026-11-17", "written": "2026-11-25T15:58:51+00:00", "corrects_id": null}');
INSERT INTO "change" VALUES(81,16,'movement',25,NULL,'{"id": 25, "item_id": 7, "kind": "use", "quantity_u": -2320000, "on_date": "2026-11-17", "due": null, "lot": null, "note": "", "entry_id": 13, "position": 21, "superseded": 0}');
INSERT INTO "change" VALUES(82,16,'cut',32,NULL,'{"id": 32, "entry_id": 13, "bay_id": 3, "step": "fabric", "piece": "high wall/left", "outline": null, "length_um": 2320000}');
INSERT INTO "change" VALUES(83,17,'movement',26,NULL,'{"id": 26, "item_id": 8, "kind": "count", "quantity_u": 330000000, "on_date": "2026-11-17", "due": null, "lot": null, "note": "", "entry_id": null, "position": 22, "superseded": 0}');
INSERT INTO "change" VALUES(84,18,'entry',14,NULL,'{"id": 14, "bay_id": 4, "task_id": null, "step": "track", "done": 1.0, "hours_h": 2.0833333333333335, "note": "Reveal of the window is out by 4; track follows the reveal.", "lesson": "", "on_date": "2026-11-19", "written": "2026-11-25T15:58:51+00:00", "corrects_id": null}');
INSERT INTO "change" VALUES(85,18,'movement',27,NULL,'{"id": 27, "item_id": 3, "kind": "use", "quantity_u": -2000000, "on_date": "2026-11-19", "due": null, "lot": null, "note": "", "entry_id": 14, "position": 23, "superseded": 0}');
INSERT INTO "change" VALUES(86,18,'movement',28,NULL,'{"id": 28, "item_id": 4, "kind": "use", "quantity_u": -1000000, "on_date": "2026-11-19", "due": null, "lot": null, "note": "", "entry_id": 14, "position": 23, "superseded": 0}');
INSERT INTO "change" VALUES(87,18,'movement',29,NULL,'{"id": 29, "item_id": 8, "kind": "use", "quantity_u": -62000000, "on_date": "2026-11-19", "due": null, "lot": null, "note": "", "entry_id": 14, "position": 23, "superseded": 0}');
INSERT INTO "change" VALUES(88,18,'cut',33,NULL,'{"id": 33, "entry_id": 14, "bay_id": 4, "step": "track", "piece": "high wall/window E6", "outline": null, "length_um": 1024000}');
INSERT INTO "change" VALUES(89,18,'cut',34,NULL,'{"id": 34, "entry_id": 14, "bay_id": 4, "step": "track", "piece": "high wall/window E3", "outline": null, "length_um": 1024000}');
INSERT INTO "change" VALUES(90,18,'cut',35,NULL,'{"id": 35, "entry_id": 14, "bay_id": 4, "step": "track", "piece": "high wall/window E1", "outline": null, "length_um": 1550000}');
INSERT INTO "change" VALUES(91,18,'cut',36,NULL,'{"id": 36, "entry_id": 14, "bay_id": 4, "step": "track", "piece": "high wall/window E4", "outline": null, "length_um": 1024000}');
INSERT INTO "change" VALUES(92,18,'cut',37,NULL,'{"id": 37, "entry_id": 14, "bay_id": 4, "step": "track", "piece": "high wall/window E2", "outline": null, "length_um": 1550000}');
INSERT INTO "change" VALUES(93,18,'cut',38,NULL,'{"id": 38, "entry_id": 14, "bay_id": 4, "step": "track", "piece": "high wall/window E5", "outline": null, "length_um": 1024000}');
INSERT INTO "change" VALUES(94,18,'cut',39,NULL,'{"id": 39, "entry_id": 14, "bay_id": 4, "step": "track", "piece": "high wall/window J1", "outline": null, "length_um": 2200000}');
INSERT INTO "change" VALUES(95,18,'offcut',19,NULL,'{"id": 19, "item_id": 3, "length_um": 470000, "width_um": null, "made_entry_id": 14, "used_entry_id": null}');
INSERT INTO "change" VALUES(96,18,'offcut',20,NULL,'{"id": 20, "item_id": 3, "length_um": 412309, "width_um": null, "made_entry_id": 14, "used_entry_id": null}');
INSERT INTO "change" VALUES(97,18,'offcut',21,NULL,'{"id": 21, "item_id": 3, "length_um": 420000, "width_um": null, "made_entry_id": 14, "used_entry_id": null}');
INSERT INTO "change" VALUES(98,18,'offcut',22,NULL,'{"id": 22, "item_id": 3, "length_um": 420000, "width_um": null, "made_entry_id": 14, "used_entry_id": null}');
INSERT INTO "change" VALUES(99,18,'offcut',23,NULL,'{"id": 23, "item_id": 4, "length_um": 797000, "width_um": null, "made_entry_id": 14, "used_entry_id": null}');
INSERT INTO "change" VALUES(100,18,'offcut',3,'{"id": 3, "item_id": 3, "length_um": 1497000, "width_um": null, "made_entry_id": 3, "used_entry_id": null}','{"id": 3, "item_id": 3, "length_um": 1497000, "width_um": null, "made_entry_id": 3, "used_entry_id": 14}');
INSERT INTO "change" VALUES(101,18,'offcut',8,'{"id": 8, "item_id": 3, "length_um": 1439309, "width_um": null, "made_entry_id": 6, "used_entry_id": null}','{"id": 8, "item_id": 3, "length_um": 1439309, "width_um": null, "made_entry_id": 6, "used_entry_id": 14}');
INSERT INTO "change" VALUES(102,19,'movement',30,NULL,'{"id": 30, "item_id": 2, "kind": "order", "quantity_u": 16000000, "on_date": "2026-11-19", "due": "2026-11-27", "lot": null, "note": "", "entry_id": null, "position": 24, "superseded": 0}');
INSERT INTO "change" VALUES(103,20,'entry',15,NULL,'{"id": 15, "bay_id": 4, "task_id": null, "step": "infill", "done": 0.5, "hours_h": 1.75, "note": "Stopped at the sill: the lower half is in and covered with sheet. Next: tape beside the window again.", "lesson": "", "on_date": "2026-11-21", "written": "2026-11-25T15:58:51+00:00", "corrects_id": null}');
INSERT INTO "change" VALUES(104,20,'movement',31,NULL,'{"id": 31, "item_id": 1, "kind": "use", "quantity_u": -2000000, "on_date": "2026-11-21", "due": null, "lot": null, "note": "", "entry_id": 15, "position": 25, "superseded": 0}');
INSERT INTO "change" VALUES(105,20,'cut',40,NULL,'{"id": 40, "entry_id": 15, "bay_id": 4, "step": "infill", "piece": "high wall/window 1", "outline": "[[1707000, 212000], [2907000, 212000], [2907000, 812000], [1707000, 812000]]", "length_um": null}');
INSERT INTO "change" VALUES(106,20,'cut',41,NULL,'{"id": 41, "entry_id": 15, "bay_id": 4, "step": "infill", "piece": "high wall/window 2", "outline": "[[2907000, 212000], [3243000, 212000], [3243000, 812000], [2907000, 812000]]", "length_um": null}');
INSERT INTO "change" VALUES(107,20,'cut',42,NULL,'{"id": 42, "entry_id": 15, "bay_id": 4, "step": "infill", "piece": "high wall/window 5", "outline": "[[3243000, 812000], [3243000, 1412000], [3012000, 1412000], [3012000, 988000], [2907000, 988000], [2907000, 812000]]", "length_um": null}');
INSERT INTO "change" VALUES(108,20,'cut',43,NULL,'{"id": 43, "entry_id": 15, "bay_id": 4, "step": "infill", "piece": "high wall/window 8", "outline": "[[1707000, 2012000], [2907000, 2012000], [2907000, 2388000], [1707000, 2388000]]", "length_um": null}');
INSERT INTO "change" VALUES(109,20,'cut',44,NULL,'{"id": 44, "entry_id": 15, "bay_id": 4, "step": "infill", "piece": "high wall/window 4", "outline": "[[1988000, 812000], [2907000, 812000], [2907000, 988000], [1988000, 988000]]", "length_um": null}');
INSERT INTO "change" VALUES(110,20,'offcut',24,NULL,'{"id": 24, "item_id": 1, "length_um": 600000, "width_um": 141086, "made_entry_id": 15, "used_entry_id": null}');
INSERT INTO "change" VALUES(111,20,'offcut',25,NULL,'{"id": 25, "item_id": 1, "length_um": 278000, "width_um": 221000, "made_entry_id": 15, "used_entry_id": null}');
INSERT INTO "change" VALUES(112,20,'offcut',7,'{"id": 7, "item_id": 1, "length_um": 600000, "width_um": 342822, "made_entry_id": 4, "used_entry_id": null}','{"id": 7, "item_id": 1, "length_um": 600000, "width_um": 342822, "made_entry_id": 4, "used_entry_id": 15}');
INSERT INTO "change" VALUES(113,20,'offcut',11,'{"id": 11, "item_id": 1, "length_um": 600000, "width_um": 480086, "made_entry_id": 7, "used_entry_id": null}','{"id": 11, "item_id": 1, "length_um": 600000, "width_um": 480086, "made_entry_id": 7, "used_entry_id": 15}');
CREATE TABLE cut (
	id INTEGER NOT NULL, 
	entry_id INTEGER NOT NULL, 
	bay_id INTEGER NOT NULL, 
	step TEXT NOT NULL, 
	piece TEXT NOT NULL, 
	outline TEXT, 
	length_um INTEGER, 
	CONSTRAINT pk_cut PRIMARY KEY (id), 
	CONSTRAINT ck_cut_outline_json CHECK (outline IS NULL OR json_valid(outline)), 
	CONSTRAINT fk_cut_bay_id FOREIGN KEY(bay_id) REFERENCES bay (id), 
	CONSTRAINT fk_cut_entry_id FOREIGN KEY(entry_id) REFERENCES entry (id)
)
 STRICT

;
INSERT INTO "cut" VALUES(1,3,1,'track','west/left E3',NULL,2250000);
INSERT INTO "cut" VALUES(2,3,1,'track','west/left E2',NULL,1557691);
INSERT INTO "cut" VALUES(3,3,1,'track','west/left E1',NULL,1500000);
INSERT INTO "cut" VALUES(4,3,1,'track','west/left J1',NULL,1830000);
INSERT INTO "cut" VALUES(5,4,1,'infill','west/left 1','[[212000, 212000], [812000, 212000], [812000, 1412000], [212000, 1412000]]',NULL);
INSERT INTO "cut" VALUES(6,4,1,'infill','west/left 2','[[812000, 212000], [1412000, 212000], [1412000, 1412000], [812000, 1412000]]',NULL);
INSERT INTO "cut" VALUES(7,4,1,'infill','west/left 3','[[1412000, 212000], [1693000, 212000], [1693000, 1412000], [1412000, 1412000]]',NULL);
INSERT INTO "cut" VALUES(8,4,1,'infill','west/left 6','[[1412000, 1412000], [1693000, 1412000], [1693000, 2019498], [1412000, 2098178]]',NULL);
INSERT INTO "cut" VALUES(9,4,1,'infill','west/left 4','[[212000, 1412000], [812000, 1412000], [812000, 2266178], [212000, 2434178]]',NULL);
INSERT INTO "cut" VALUES(10,4,1,'infill','west/left 5','[[812000, 1412000], [1412000, 1412000], [1412000, 2098178], [812000, 2266178]]',NULL);
INSERT INTO "cut" VALUES(11,5,1,'fabric','west/left',NULL,2370000);
INSERT INTO "cut" VALUES(12,6,2,'track','west/right E2',NULL,1410000);
INSERT INTO "cut" VALUES(13,6,2,'track','west/right E3',NULL,1557691);
INSERT INTO "cut" VALUES(14,6,2,'track','west/right E1',NULL,1500000);
INSERT INTO "cut" VALUES(15,7,2,'infill','west/right 2','[[1988000, 212000], [2588000, 212000], [2588000, 1412000], [1988000, 1412000]]',NULL);
INSERT INTO "cut" VALUES(16,7,2,'infill','west/right 3','[[2588000, 212000], [3188000, 212000], [3188000, 1412000], [2588000, 1412000]]',NULL);
INSERT INTO "cut" VALUES(17,7,2,'infill','west/right 1','[[1707000, 212000], [1988000, 212000], [1988000, 1412000], [1707000, 1412000]]',NULL);
INSERT INTO "cut" VALUES(18,7,2,'infill','west/right 4','[[1707000, 1412000], [1988000, 1412000], [1988000, 1936898], [1707000, 2015579]]',NULL);
INSERT INTO "cut" VALUES(19,7,2,'infill','west/right 5','[[1988000, 1412000], [2588000, 1412000], [2588000, 1768899], [1988000, 1936898]]',NULL);
INSERT INTO "cut" VALUES(20,7,2,'infill','west/right 6','[[2588000, 1412000], [3188000, 1412000], [3188000, 1600898], [2588000, 1768899]]',NULL);
INSERT INTO "cut" VALUES(21,8,2,'fabric','west/right',NULL,1950000);
INSERT INTO "cut" VALUES(22,11,3,'track','high wall/left E3',NULL,2200000);
INSERT INTO "cut" VALUES(23,11,3,'track','high wall/left E1',NULL,1500000);
INSERT INTO "cut" VALUES(24,11,3,'track','high wall/left E2',NULL,1500000);
INSERT INTO "cut" VALUES(25,11,3,'track','high wall/left J1',NULL,2200000);
INSERT INTO "cut" VALUES(26,12,3,'infill','high wall/left 2','[[493647, 212000], [1093647, 212000], [1093647, 1412000], [493647, 1412000]]',NULL);
INSERT INTO "cut" VALUES(27,12,3,'infill','high wall/left 3','[[1093647, 212000], [1693647, 212000], [1693290, 1412000], [1093647, 1412000]]',NULL);
INSERT INTO "cut" VALUES(28,12,3,'infill','high wall/left 1','[[217647, 212000], [493647, 212000], [493647, 1412000], [214533, 1412000]]',NULL);
INSERT INTO "cut" VALUES(29,12,3,'infill','high wall/left 4','[[214533, 1412000], [493647, 1412000], [493647, 2387994], [212000, 2387993]]',NULL);
INSERT INTO "cut" VALUES(30,12,3,'infill','high wall/left 6','[[1093647, 1412000], [1693290, 1412000], [1693000, 2388000], [1093647, 2387997]]',NULL);
INSERT INTO "cut" VALUES(31,12,3,'infill','high wall/left 5','[[493647, 1412000], [1093647, 1412000], [1093647, 2387997], [493647, 2387994]]',NULL);
INSERT INTO "cut" VALUES(32,13,3,'fabric','high wall/left',NULL,2320000);
INSERT INTO "cut" VALUES(33,14,4,'track','high wall/window E6',NULL,1024000);
INSERT INTO "cut" VALUES(34,14,4,'track','high wall/window E3',NULL,1024000);
INSERT INTO "cut" VALUES(35,14,4,'track','high wall/window E1',NULL,1550000);
INSERT INTO "cut" VALUES(36,14,4,'track','high wall/window E4',NULL,1024000);
INSERT INTO "cut" VALUES(37,14,4,'track','high wall/window E2',NULL,1550000);
INSERT INTO "cut" VALUES(38,14,4,'track','high wall/window E5',NULL,1024000);
INSERT INTO "cut" VALUES(39,14,4,'track','high wall/window J1',NULL,2200000);
INSERT INTO "cut" VALUES(40,15,4,'infill','high wall/window 1','[[1707000, 212000], [2907000, 212000], [2907000, 812000], [1707000, 812000]]',NULL);
INSERT INTO "cut" VALUES(41,15,4,'infill','high wall/window 2','[[2907000, 212000], [3243000, 212000], [3243000, 812000], [2907000, 812000]]',NULL);
INSERT INTO "cut" VALUES(42,15,4,'infill','high wall/window 5','[[3243000, 812000], [3243000, 1412000], [3012000, 1412000], [3012000, 988000], [2907000, 988000], [2907000, 812000]]',NULL);
INSERT INTO "cut" VALUES(43,15,4,'infill','high wall/window 8','[[1707000, 2012000], [2907000, 2012000], [2907000, 2388000], [1707000, 2388000]]',NULL);
INSERT INTO "cut" VALUES(44,15,4,'infill','high wall/window 4','[[1988000, 812000], [2907000, 812000], [2907000, 988000], [1988000, 988000]]',NULL);
CREATE TABLE entry (
	id INTEGER NOT NULL, 
	bay_id INTEGER, 
	task_id INTEGER, 
	step TEXT, 
	done REAL NOT NULL, 
	hours_h REAL, 
	note TEXT NOT NULL, 
	lesson TEXT NOT NULL, 
	on_date TEXT NOT NULL, 
	written TEXT NOT NULL, 
	corrects_id INTEGER, 
	CONSTRAINT pk_entry PRIMARY KEY (id), 
	CONSTRAINT ck_entry_step_of_bay CHECK ((bay_id IS NULL AND step IS NULL) OR (bay_id IS NOT NULL AND step IN ('set-out', 'track', 'infill', 'fabric', 'make-good'))), 
	CONSTRAINT ck_entry_one_target CHECK ((bay_id IS NULL) <> (task_id IS NULL)), 
	CONSTRAINT ck_entry_hours CHECK (coalesce(hours_h, 0) >= 0), 
	CONSTRAINT ck_entry_done CHECK (done >= 0 AND done <= 1), 
	CONSTRAINT fk_entry_bay_id FOREIGN KEY(bay_id) REFERENCES bay (id), 
	CONSTRAINT fk_entry_corrects_id FOREIGN KEY(corrects_id) REFERENCES entry (id), 
	CONSTRAINT fk_entry_task_id FOREIGN KEY(task_id) REFERENCES task (id)
)
 STRICT

;
INSERT INTO "entry" VALUES(1,NULL,1,NULL,1.0,1.33333333333333325931e+00,'Licensed help for the socket; extender fitted, photo taken.','','2026-11-03','2026-11-25T15:58:51+00:00',NULL);
INSERT INTO "entry" VALUES(2,1,NULL,'set-out',1.0,6.66666666666666629659e-01,'Line of the slope chalked at 150 below the roof.','','2026-11-03','2026-11-25T15:58:51+00:00',NULL);
INSERT INTO "entry" VALUES(3,1,NULL,'track',1.0,2.25,'Mitres at the slope are not 45: bevel set to half the angle.','Take the angle with the bevel before the first mitre.','2026-11-05','2026-11-25T15:58:51+00:00',NULL);
INSERT INTO "entry" VALUES(4,1,NULL,'infill',1.0,1.83333333333333325931e+00,'Cut one board 20 short along the slope: read the wrong side of the tape.','Mark each piece with its name and which way is up before cutting.','2026-11-07','2026-11-25T15:58:51+00:00',NULL);
INSERT INTO "entry" VALUES(5,1,NULL,'fabric',1.0,1.5,'','','2026-11-07','2026-11-25T15:58:51+00:00',NULL);
INSERT INTO "entry" VALUES(6,2,NULL,'track',1.0,1.41666666666666674068e+00,'','','2026-11-07','2026-11-25T15:58:51+00:00',NULL);
INSERT INTO "entry" VALUES(7,2,NULL,'infill',1.0,1.16666666666666674068e+00,'Last two boards used the offcuts of the left bay.','','2026-11-10','2026-11-25T15:58:51+00:00',NULL);
INSERT INTO "entry" VALUES(8,2,NULL,'fabric',1.0,8.3333333333333337034e-01,'','','2026-11-10','2026-11-25T15:58:51+00:00',NULL);
INSERT INTO "entry" VALUES(9,1,NULL,'make-good',1.0,3.33333333333333314829e-01,'','','2026-11-12','2026-11-25T15:58:51+00:00',NULL);
INSERT INTO "entry" VALUES(10,2,NULL,'make-good',1.0,3.33333333333333314829e-01,'Room back in use at nine; the slap behind the desk is gone.','Half an hour of clean-up each evening, not ten minutes.','2026-11-12','2026-11-25T15:58:51+00:00',NULL);
INSERT INTO "entry" VALUES(11,3,NULL,'track',1.0,1.66666666666666674068e+00,'','','2026-11-14','2026-11-25T15:58:51+00:00',NULL);
INSERT INTO "entry" VALUES(12,3,NULL,'infill',1.0,1.25,'Opening is 5 wider at the top: cut to the fitted sizes, no gap.','Tape inside the track, never before it.','2026-11-14','2026-11-25T15:58:51+00:00',NULL);
INSERT INTO "entry" VALUES(13,3,NULL,'fabric',1.0,9.16666666666666629659e-01,'','','2026-11-17','2026-11-25T15:58:51+00:00',NULL);
INSERT INTO "entry" VALUES(14,4,NULL,'track',1.0,2.08333333333333348136e+00,'Reveal of the window is out by 4; track follows the reveal.','','2026-11-19','2026-11-25T15:58:51+00:00',NULL);
INSERT INTO "entry" VALUES(15,4,NULL,'infill',0.5,1.75,'Stopped at the sill: the lower half is in and covered with sheet. Next: tape beside the window again.','','2026-11-21','2026-11-25T15:58:51+00:00',NULL);
CREATE TABLE fixing (
	id INTEGER NOT NULL, 
	build_up_id INTEGER NOT NULL, 
	item_id INTEGER NOT NULL, 
	spacing_um INTEGER NOT NULL, 
	CONSTRAINT pk_fixing PRIMARY KEY (id), 
	CONSTRAINT ck_fixing_spacing CHECK (spacing_um > 0), 
	CONSTRAINT fk_fixing_build_up_id FOREIGN KEY(build_up_id) REFERENCES build_up (id), 
	CONSTRAINT fk_fixing_item_id FOREIGN KEY(item_id) REFERENCES item (id)
)
 STRICT

;
INSERT INTO "fixing" VALUES(1,1,8,150000);
INSERT INTO "fixing" VALUES(2,2,8,150000);
CREATE TABLE item (
	id INTEGER NOT NULL, 
	name TEXT NOT NULL, 
	form TEXT NOT NULL, 
	unit TEXT NOT NULL, 
	length_um INTEGER, 
	width_um INTEGER, 
	depth_um INTEGER, 
	density_kg_m3 REAL, 
	flow_resistivity_pa_s_m2 REAL, 
	face_um INTEGER NOT NULL, 
	kerf_um INTEGER NOT NULL, 
	tuck_um INTEGER NOT NULL, 
	waste_below_um INTEGER NOT NULL, 
	turnable INTEGER NOT NULL, 
	pack REAL NOT NULL, 
	price_cents INTEGER, 
	lead_days INTEGER NOT NULL, 
	dye_lot TEXT, 
	CONSTRAINT pk_item PRIMARY KEY (id), 
	CONSTRAINT ck_item_form_known CHECK (form IN ('board', 'stick', 'roll', 'each', 'bulk')), 
	CONSTRAINT ck_item_sizes CHECK (coalesce(length_um, 1) > 0 AND coalesce(width_um, 1) > 0 AND coalesce(depth_um, 1) > 0), 
	CONSTRAINT ck_item_price CHECK (coalesce(price_cents, 0) >= 0), 
	CONSTRAINT ck_item_allowances CHECK (face_um >= 0 AND kerf_um >= 0 AND tuck_um >= 0 AND waste_below_um >= 0), 
	CONSTRAINT ck_item_lead CHECK (lead_days >= 0), 
	CONSTRAINT ck_item_pack CHECK (pack > 0), 
	CONSTRAINT uq_item_name UNIQUE (name)
)
 STRICT

;
INSERT INTO "item" VALUES(1,'wool board 50','board','board',1200000,600000,50000,48.0,NULL,0,3000,0,100000,1,6.0,5400,6,NULL);
INSERT INTO "item" VALUES(2,'wool board 100','board','board',1200000,600000,100000,48.0,NULL,0,3000,0,100000,1,4.0,6600,9,NULL);
INSERT INTO "item" VALUES(3,'edge track 50','stick','stick',3000000,NULL,50000,NULL,NULL,12000,3000,0,250000,1,10.0,6100,8,NULL);
INSERT INTO "item" VALUES(4,'joint track 50','stick','stick',3000000,NULL,50000,NULL,NULL,14000,3000,0,250000,1,5.0,3700,8,NULL);
INSERT INTO "item" VALUES(5,'edge track 100','stick','stick',3000000,NULL,100000,NULL,NULL,12000,3000,0,250000,1,10.0,7800,8,NULL);
INSERT INTO "item" VALUES(6,'joint track 100','stick','stick',3000000,NULL,100000,NULL,NULL,14000,3000,0,250000,1,5.0,4800,8,NULL);
INSERT INTO "item" VALUES(7,'fabric oat','roll','m',NULL,1680000,NULL,NULL,NULL,0,0,60000,0,1,1.0,1450,5,'A7');
INSERT INTO "item" VALUES(8,'track screw','each','piece',NULL,NULL,NULL,NULL,NULL,0,0,0,0,1,200.0,980,2,NULL);
INSERT INTO "item" VALUES(9,'eye bolt','each','piece',NULL,NULL,NULL,NULL,NULL,0,0,0,0,1,4.0,720,4,NULL);
INSERT INTO "item" VALUES(10,'hanging wire','bulk','m',NULL,NULL,NULL,NULL,NULL,0,0,0,0,1,1.0,110,4,NULL);
CREATE TABLE movement (
	id INTEGER NOT NULL, 
	item_id INTEGER NOT NULL, 
	kind TEXT NOT NULL, 
	quantity_u INTEGER NOT NULL, 
	on_date TEXT NOT NULL, 
	due TEXT, 
	lot TEXT, 
	note TEXT NOT NULL, 
	entry_id INTEGER, 
	position INTEGER NOT NULL, 
	superseded INTEGER NOT NULL, 
	CONSTRAINT pk_movement PRIMARY KEY (id), 
	CONSTRAINT ck_movement_sign CHECK (CASE kind WHEN 'use' THEN quantity_u <= 0 WHEN 'spoil' THEN quantity_u <= 0 WHEN 'return' THEN quantity_u <= 0 ELSE quantity_u >= 0 END), 
	CONSTRAINT ck_movement_kind_known CHECK (kind IN ('opening', 'delivery', 'use', 'spoil', 'count', 'return', 'order')), 
	CONSTRAINT ck_movement_superseded_flag CHECK (superseded IN (0, 1)), 
	CONSTRAINT fk_movement_entry_id FOREIGN KEY(entry_id) REFERENCES entry (id), 
	CONSTRAINT fk_movement_item_id FOREIGN KEY(item_id) REFERENCES item (id)
)
 STRICT

;
INSERT INTO "movement" VALUES(1,1,'opening',12000000,'2026-11-02',NULL,NULL,'',NULL,1,0);
INSERT INTO "movement" VALUES(2,3,'opening',20000000,'2026-11-02',NULL,NULL,'',NULL,3,0);
INSERT INTO "movement" VALUES(3,4,'opening',5000000,'2026-11-02',NULL,NULL,'',NULL,4,0);
INSERT INTO "movement" VALUES(4,5,'opening',10000000,'2026-11-02',NULL,NULL,'',NULL,5,0);
INSERT INTO "movement" VALUES(5,6,'opening',5000000,'2026-11-02',NULL,NULL,'',NULL,6,0);
INSERT INTO "movement" VALUES(6,7,'opening',24000000,'2026-11-02',NULL,'A7','',NULL,7,0);
INSERT INTO "movement" VALUES(7,8,'opening',600000000,'2026-11-02',NULL,NULL,'',NULL,8,0);
INSERT INTO "movement" VALUES(8,10,'opening',12000000,'2026-11-02',NULL,NULL,'',NULL,10,0);
INSERT INTO "movement" VALUES(9,3,'use',-3000000,'2026-11-05',NULL,NULL,'',3,11,0);
INSERT INTO "movement" VALUES(10,4,'use',-1000000,'2026-11-05',NULL,NULL,'',3,11,0);
INSERT INTO "movement" VALUES(11,8,'use',-48000000,'2026-11-05',NULL,NULL,'',3,11,0);
INSERT INTO "movement" VALUES(12,1,'use',-5000000,'2026-11-07',NULL,NULL,'',4,12,0);
INSERT INTO "movement" VALUES(13,1,'spoil',-1000000,'2026-11-07',NULL,NULL,'',4,12,0);
INSERT INTO "movement" VALUES(14,7,'use',-2370000,'2026-11-07',NULL,NULL,'',5,13,0);
INSERT INTO "movement" VALUES(15,3,'use',-2000000,'2026-11-07',NULL,NULL,'',6,14,0);
INSERT INTO "movement" VALUES(16,8,'use',-30000000,'2026-11-07',NULL,NULL,'',6,14,0);
INSERT INTO "movement" VALUES(17,1,'order',24000000,'2026-11-08','2026-11-13',NULL,'',NULL,15,0);
INSERT INTO "movement" VALUES(18,1,'use',-4000000,'2026-11-10',NULL,NULL,'',7,16,0);
INSERT INTO "movement" VALUES(19,7,'use',-1950000,'2026-11-10',NULL,NULL,'',8,17,0);
INSERT INTO "movement" VALUES(20,1,'delivery',24000000,'2026-11-13',NULL,NULL,'',NULL,18,0);
INSERT INTO "movement" VALUES(21,3,'use',-3000000,'2026-11-14',NULL,NULL,'',11,19,0);
INSERT INTO "movement" VALUES(22,4,'use',-1000000,'2026-11-14',NULL,NULL,'',11,19,0);
INSERT INTO "movement" VALUES(23,8,'use',-50000000,'2026-11-14',NULL,NULL,'',11,19,0);
INSERT INTO "movement" VALUES(24,1,'use',-5000000,'2026-11-14',NULL,NULL,'',12,20,0);
INSERT INTO "movement" VALUES(25,7,'use',-2320000,'2026-11-17',NULL,NULL,'',13,21,0);
INSERT INTO "movement" VALUES(26,8,'count',330000000,'2026-11-17',NULL,NULL,'',NULL,22,0);
INSERT INTO "movement" VALUES(27,3,'use',-2000000,'2026-11-19',NULL,NULL,'',14,23,0);
INSERT INTO "movement" VALUES(28,4,'use',-1000000,'2026-11-19',NULL,NULL,'',14,23,0);
INSERT INTO "movement" VALUES(29,8,'use',-62000000,'2026-11-19',NULL,NULL,'',14,23,0);
INSERT INTO "movement" VALUES(30,2,'order',16000000,'2026-11-19','2026-11-27',NULL,'',NULL,24,0);
INSERT INTO "movement" VALUES(31,1,'use',-2000000,'2026-11-21',NULL,NULL,'',15,25,0);
CREATE TABLE offcut (
	id INTEGER NOT NULL, 
	item_id INTEGER NOT NULL, 
	length_um INTEGER NOT NULL, 
	width_um INTEGER, 
	made_entry_id INTEGER, 
	used_entry_id INTEGER, 
	CONSTRAINT pk_offcut PRIMARY KEY (id), 
	CONSTRAINT ck_offcut_size CHECK (length_um > 0 AND coalesce(width_um, 1) > 0), 
	CONSTRAINT fk_offcut_item_id FOREIGN KEY(item_id) REFERENCES item (id), 
	CONSTRAINT fk_offcut_made_entry_id FOREIGN KEY(made_entry_id) REFERENCES entry (id), 
	CONSTRAINT fk_offcut_used_entry_id FOREIGN KEY(used_entry_id) REFERENCES entry (id)
)
 STRICT

;
INSERT INTO "offcut" VALUES(1,3,747000,NULL,3,NULL);
INSERT INTO "offcut" VALUES(2,3,1439309,NULL,3,6);
INSERT INTO "offcut" VALUES(3,3,1497000,NULL,3,14);
INSERT INTO "offcut" VALUES(4,4,1167000,NULL,3,NULL);
INSERT INTO "offcut" VALUES(5,1,510821,316000,4,NULL);
INSERT INTO "offcut" VALUES(6,1,600000,174822,4,NULL);
INSERT INTO "offcut" VALUES(7,1,600000,342822,4,15);
INSERT INTO "offcut" VALUES(8,3,1439309,NULL,6,14);
INSERT INTO "offcut" VALUES(9,3,1497000,NULL,6,NULL);
INSERT INTO "offcut" VALUES(10,1,593421,316000,7,NULL);
INSERT INTO "offcut" VALUES(11,1,600000,480086,7,15);
INSERT INTO "offcut" VALUES(12,3,797000,NULL,11,NULL);
INSERT INTO "offcut" VALUES(13,3,1497000,NULL,11,NULL);
INSERT INTO "offcut" VALUES(14,3,1497000,NULL,11,NULL);
INSERT INTO "offcut" VALUES(15,4,797000,NULL,11,NULL);
INSERT INTO "offcut" VALUES(16,1,317886,221006,12,NULL);
INSERT INTO "offcut" VALUES(17,1,600000,221000,12,NULL);
INSERT INTO "offcut" VALUES(18,1,600000,221003,12,NULL);
INSERT INTO "offcut" VALUES(19,3,470000,NULL,14,NULL);
INSERT INTO "offcut" VALUES(20,3,412309,NULL,14,NULL);
INSERT INTO "offcut" VALUES(21,3,420000,NULL,14,NULL);
INSERT INTO "offcut" VALUES(22,3,420000,NULL,14,NULL);
INSERT INTO "offcut" VALUES(23,4,797000,NULL,14,NULL);
INSERT INTO "offcut" VALUES(24,1,600000,141086,15,NULL);
INSERT INTO "offcut" VALUES(25,1,278000,221000,15,NULL);
CREATE TABLE opening (
	id INTEGER NOT NULL, 
	plane_id INTEGER NOT NULL, 
	name TEXT NOT NULL, 
	outline TEXT NOT NULL, 
	surface TEXT NOT NULL, 
	CONSTRAINT pk_opening PRIMARY KEY (id), 
	CONSTRAINT ck_opening_outline_json CHECK (outline IS NULL OR json_valid(outline)), 
	CONSTRAINT fk_opening_plane_id FOREIGN KEY(plane_id) REFERENCES plane (id), 
	CONSTRAINT uq_opening_plane_id_name UNIQUE (plane_id, name)
)
 STRICT

;
INSERT INTO "opening" VALUES(1,2,'window','[[2000000, 1000000], [3000000, 1000000], [3000000, 2000000], [2000000, 2000000]]','window glass');
INSERT INTO "opening" VALUES(2,4,'door','[[2500000, 0], [3350000, 0], [3350000, 2000000], [2500000, 2000000]]','solid wooden door');
CREATE TABLE operation (
	id INTEGER NOT NULL, 
	at TEXT NOT NULL, 
	sentence TEXT NOT NULL, 
	undone INTEGER NOT NULL, 
	CONSTRAINT pk_operation PRIMARY KEY (id), 
	CONSTRAINT ck_operation_undone_flag CHECK (undone IN (0, 1))
)
 STRICT

;
INSERT INTO "operation" VALUES(1,'2026-11-25T15:58:51+00:00','Logged desk end: move the socket out 100%.',0);
INSERT INTO "operation" VALUES(2,'2026-11-25T15:58:51+00:00','Logged west/left, set-out 100%.',0);
INSERT INTO "operation" VALUES(3,'2026-11-25T15:58:51+00:00','Logged west/left, track 100%; used 3 sticks of edge track 50, 1 stick of joint track 50, 48 pieces of track screw; kept 4 offcuts.',0);
INSERT INTO "operation" VALUES(4,'2026-11-25T15:58:51+00:00','Logged west/left, infill 100%; used 5 boards of wool board 50; kept 3 offcuts; spoiled 1 board of wool board 50.',0);
INSERT INTO "operation" VALUES(5,'2026-11-25T15:58:51+00:00','Logged west/left, fabric 100%; used 2.37 m of fabric oat.',0);
INSERT INTO "operation" VALUES(6,'2026-11-25T15:58:51+00:00','Logged west/right, track 100%; used 2 sticks of edge track 50, 30 pieces of track screw; took O2 from the rack; kept 2 offcuts.',0);
INSERT INTO "operation" VALUES(7,'2026-11-25T15:58:51+00:00','Ordered 24 boards of wool board 50, due 2026-11-13.',0);
INSERT INTO "operation" VALUES(8,'2026-11-25T15:58:51+00:00','Logged west/right, infill 100%; used 4 boards of wool board 50; kept 2 offcuts.',0);
INSERT INTO "operation" VALUES(9,'2026-11-25T15:58:51+00:00','Logged west/right, fabric 100%; used 1.95 m of fabric oat.',0);
INSERT INTO "operation" VALUES(10,'2026-11-25T15:58:51+00:00','Logged west/left, make-good 100%.',0);
INSERT INTO "operation" VALUES(11,'2026-11-25T15:58:51+00:00','Logged west/right, make-good 100%.',0);
INSERT INTO "operation" VALUES(12,'2026-11-25T15:58:51+00:00','Received 24 boards of wool board 50.',0);
INSERT INTO "operation" VALUES(13,'2026-11-25T15:58:51+00:00','Logged high wall/left, track 100%; used 3 sticks of edge track 50, 1 stick of joint track 50, 50 pieces of track screw; kept 4 offcuts.',0);
INSERT INTO "operation" VALUES(14,'2026-11-25T15:58:51+00:00','Measured high wall/left inside its track: infill is cut to 3.22 m2 now.',0);
INSERT INTO "operation" VALUES(15,'2026-11-25T15:58:51+00:00','Logged high wall/left, infill 100%; used 5 boards of wool board 50; kept 3 offcuts.',0);
INSERT INTO "operation" VALUES(16,'2026-11-25T15:58:51+00:00','Logged high wall/left, fabric 100%; used 2.32 m of fabric oat.',0);
INSERT INTO "operation" VALUES(17,'2026-11-25T15:58:51+00:00','Counted 330 pieces of track screw: the book had 472 pieces.',0);
INSERT INTO "operation" VALUES(18,'2026-11-25T15:58:51+00:00','Logged high wall/window, track 100%; used 2 sticks of edge track 50, 1 stick of joint track 50, 62 pieces of track screw; took O3, O8 from the rack; kept 5 offcuts.',0);
INSERT INTO "operation" VALUES(19,'2026-11-25T15:58:51+00:00','Ordered 16 boards of wool board 100, due 2026-11-27.',0);
INSERT INTO "operation" VALUES(20,'2026-11-25T15:58:51+00:00','Logged high wall/window, infill 50%; used 2 boards of wool board 50; took O7, O11 from the rack; kept 2 offcuts.',0);
CREATE TABLE phase (
	id INTEGER NOT NULL, 
	name TEXT NOT NULL, 
	CONSTRAINT pk_phase PRIMARY KEY (id), 
	CONSTRAINT uq_phase_name UNIQUE (name)
)
 STRICT

;
INSERT INTO "phase" VALUES(1,'desk end');
INSERT INTO "phase" VALUES(2,'window wall');
INSERT INTO "phase" VALUES(3,'slope');
INSERT INTO "phase" VALUES(4,'door end');
CREATE TABLE photo (
	id INTEGER NOT NULL, 
	entry_id INTEGER NOT NULL, 
	path TEXT NOT NULL, 
	CONSTRAINT pk_photo PRIMARY KEY (id), 
	CONSTRAINT fk_photo_entry_id FOREIGN KEY(entry_id) REFERENCES entry (id)
)
 STRICT

;
CREATE TABLE plane (
	id INTEGER NOT NULL, 
	room_id INTEGER NOT NULL, 
	name TEXT NOT NULL, 
	kind TEXT NOT NULL, 
	outline TEXT NOT NULL, 
	surface TEXT NOT NULL, 
	axis TEXT, 
	CONSTRAINT pk_plane PRIMARY KEY (id), 
	CONSTRAINT ck_plane_axis_known CHECK (axis IS NULL OR axis IN ('x', 'y', 'z')), 
	CONSTRAINT ck_plane_kind_known CHECK (kind IN ('wall', 'ceiling', 'slope', 'floor', 'cloud')), 
	CONSTRAINT ck_plane_outline_json CHECK (outline IS NULL OR json_valid(outline)), 
	CONSTRAINT fk_plane_room_id FOREIGN KEY(room_id) REFERENCES room (id), 
	CONSTRAINT uq_plane_room_id_name UNIQUE (room_id, name)
)
 STRICT

;
INSERT INTO "plane" VALUES(1,1,'west','wall','[[0, 0], [3600000, 0], [3600000, 1700000], [0, 2700000]]','plasterboard on studs','x');
INSERT INTO "plane" VALUES(2,1,'high wall','wall','[[0, 0], [5200000, 0], [5200000, 2700000], [0, 2700000]]','plasterboard on studs','y');
INSERT INTO "plane" VALUES(3,1,'slope','slope','[[0, 0], [5200000, 0], [5200000, 3736000], [0, 3736000]]','plasterboard on studs','z');
INSERT INTO "plane" VALUES(4,1,'east','wall','[[0, 0], [3600000, 0], [3600000, 2700000], [0, 1700000]]','plasterboard on studs','x');
INSERT INTO "plane" VALUES(5,1,'low wall','wall','[[0, 0], [5200000, 0], [5200000, 1700000], [0, 1700000]]','painted brick','y');
INSERT INTO "plane" VALUES(6,1,'floor','floor','[[0, 0], [5200000, 0], [5200000, 3600000], [0, 3600000]]','boards on joists','z');
INSERT INTO "plane" VALUES(7,1,'cloud','cloud','[[0, 0], [1800000, 0], [1800000, 1200000], [0, 1200000]]','plasterboard on studs',NULL);
CREATE TABLE predecessor (
	id INTEGER NOT NULL, 
	bay_id INTEGER, 
	task_id INTEGER, 
	on_bay_id INTEGER, 
	on_task_id INTEGER, 
	CONSTRAINT pk_predecessor PRIMARY KEY (id), 
	CONSTRAINT ck_predecessor_one_follower CHECK ((bay_id IS NULL) <> (task_id IS NULL)), 
	CONSTRAINT ck_predecessor_one_before CHECK ((on_bay_id IS NULL) <> (on_task_id IS NULL)), 
	CONSTRAINT fk_predecessor_bay_id FOREIGN KEY(bay_id) REFERENCES bay (id), 
	CONSTRAINT fk_predecessor_on_bay_id FOREIGN KEY(on_bay_id) REFERENCES bay (id), 
	CONSTRAINT fk_predecessor_on_task_id FOREIGN KEY(on_task_id) REFERENCES task (id), 
	CONSTRAINT fk_predecessor_task_id FOREIGN KEY(task_id) REFERENCES task (id)
)
 STRICT

;
INSERT INTO "predecessor" VALUES(1,NULL,2,10,NULL);
CREATE TABLE room (
	id INTEGER NOT NULL, 
	name TEXT NOT NULL, 
	volume_m3 REAL NOT NULL, 
	temperature_c REAL NOT NULL, 
	humidity_pct REAL NOT NULL, 
	target TEXT, 
	CONSTRAINT pk_room PRIMARY KEY (id), 
	CONSTRAINT ck_room_target_json CHECK (target IS NULL OR json_valid(target)), 
	CONSTRAINT ck_room_volume CHECK (volume_m3 > 0), 
	CONSTRAINT uq_room_name UNIQUE (name)
)
 STRICT

;
INSERT INTO "room" VALUES(1,'mixing room',41.2,19.0,50.0,'{"name": "listening", "t_s": null, "tolerance_s": null}');
CREATE TABLE site (
	id INTEGER NOT NULL, 
	name TEXT NOT NULL, 
	unit TEXT NOT NULL, 
	currency TEXT NOT NULL, 
	start TEXT NOT NULL, 
	hours TEXT NOT NULL, 
	cap INTEGER NOT NULL, 
	CONSTRAINT pk_site PRIMARY KEY (id), 
	CONSTRAINT ck_site_unit_known CHECK (unit IN ('mm', 'in')), 
	CONSTRAINT ck_site_cap_flag CHECK (cap IN (0, 1)), 
	CONSTRAINT ck_site_hours_json CHECK (hours IS NULL OR json_valid(hours)), 
	CONSTRAINT ck_site_single CHECK (id = 1)
)
 STRICT

;
INSERT INTO "site" VALUES(1,'Cider press','mm','EUR','2026-11-02','[["tue", 2.0], ["thu", 2.0], ["sat", 6.0]]',1);
CREATE TABLE surface (
	id INTEGER NOT NULL, 
	name TEXT NOT NULL, 
	alpha TEXT NOT NULL, 
	source TEXT NOT NULL, 
	CONSTRAINT pk_surface PRIMARY KEY (id), 
	CONSTRAINT ck_surface_alpha_json CHECK (alpha IS NULL OR json_valid(alpha)), 
	CONSTRAINT uq_surface_name UNIQUE (name)
)
 STRICT

;
CREATE TABLE tape (
	id INTEGER NOT NULL, 
	plane_id INTEGER, 
	bay_id INTEGER, 
	fitted INTEGER NOT NULL, 
	taken TEXT NOT NULL, 
	bottom_um INTEGER NOT NULL, 
	top_um INTEGER NOT NULL, 
	left_um INTEGER NOT NULL, 
	right_um INTEGER NOT NULL, 
	diagonal_um INTEGER, 
	check_um INTEGER, 
	middle_um INTEGER, 
	centre_um INTEGER, 
	CONSTRAINT pk_tape PRIMARY KEY (id), 
	CONSTRAINT ck_tape_one_place CHECK ((plane_id IS NULL) <> (bay_id IS NULL)), 
	CONSTRAINT ck_tape_sizes CHECK (bottom_um > 0 AND top_um > 0 AND left_um > 0 AND right_um > 0), 
	CONSTRAINT ck_tape_fitted_bay CHECK (fitted IN (0, 1) AND (fitted = 0 OR bay_id IS NOT NULL)), 
	CONSTRAINT fk_tape_bay_id FOREIGN KEY(bay_id) REFERENCES bay (id), 
	CONSTRAINT fk_tape_plane_id FOREIGN KEY(plane_id) REFERENCES plane (id)
)
 STRICT

;
INSERT INTO "tape" VALUES(1,NULL,5,0,'2026-11-02',1500000,1491000,2200000,2203000,2656000,2661000,NULL,NULL);
INSERT INTO "tape" VALUES(2,NULL,3,1,'2026-11-14',1476000,1481000,2176000,2176000,2629000,2632000,NULL,NULL);
CREATE TABLE task (
	id INTEGER NOT NULL, 
	phase_id INTEGER NOT NULL, 
	name TEXT NOT NULL, 
	hours_h REAL, 
	CONSTRAINT pk_task PRIMARY KEY (id), 
	CONSTRAINT ck_task_hours CHECK (coalesce(hours_h, 0) >= 0), 
	CONSTRAINT fk_task_phase_id FOREIGN KEY(phase_id) REFERENCES phase (id), 
	CONSTRAINT uq_task_phase_id_name UNIQUE (phase_id, name)
)
 STRICT

;
INSERT INTO "task" VALUES(1,1,'move the socket out',1.0);
INSERT INTO "task" VALUES(2,4,'hang the cloud',1.5);
CREATE TABLE task_need (
	id INTEGER NOT NULL, 
	task_id INTEGER NOT NULL, 
	item_id INTEGER NOT NULL, 
	quantity_u INTEGER NOT NULL, 
	CONSTRAINT pk_task_need PRIMARY KEY (id), 
	CONSTRAINT ck_task_need_quantity CHECK (quantity_u > 0), 
	CONSTRAINT fk_task_need_item_id FOREIGN KEY(item_id) REFERENCES item (id), 
	CONSTRAINT fk_task_need_task_id FOREIGN KEY(task_id) REFERENCES task (id)
)
 STRICT

;
INSERT INTO "task_need" VALUES(1,2,9,4000000);
INSERT INTO "task_need" VALUES(2,2,10,8000000);
CREATE INDEX ix_change_operation_id ON change (operation_id);
CREATE INDEX ix_entry_bay_id ON entry (bay_id);
CREATE INDEX ix_cut_bay_id ON cut (bay_id);
CREATE INDEX ix_cut_entry_id ON cut (entry_id);
CREATE INDEX ix_movement_entry_id ON movement (entry_id);
CREATE INDEX ix_movement_item_id ON movement (item_id);
CREATE INDEX ix_offcut_item_id ON offcut (item_id);
CREATE INDEX ix_photo_entry_id ON photo (entry_id);
COMMIT;
